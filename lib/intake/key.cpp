#include "intake/key.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"
#include "intake/inside/tree.h"
#include "intake/inside/values_reader.h"
#include "intake/value.h"

namespace lugwise {
namespace {

using namespace intake::inside;

// Whether a file is what it is read as: `key` says so, and in which version.
bool right_kind(const Node& root, std::string_view key, std::string_view what, Diagnostics& diagnostics) {
  if (root.kind == Node::Kind::Map) {
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      if (root.key(i).text != key) continue;
      if (root.value(i).text == "1") return true;
      diagnostics.error("E102", root.value(i).at, fmt::format("this version of {} can't be read", what))
          .note("this program reads version 1");
      return false;
    }
  }
  diagnostics.error("E101", {}, fmt::format("not {}: '{}: 1' is missing", what, key))
      .note("it says which version of the format the file is in");
  return false;
}

std::string text_of(const Fields& fields, std::string_view key, Diagnostics& diagnostics) {
  const Node* node = fields.find(key);
  const std::string* text = node ? as_text(*node, fmt::format("'{}'", key), diagnostics) : nullptr;
  return text ? *text : "";
}

}  // namespace

std::optional<KeySheet> read_key(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root || !right_kind(*root, "lugwise-key", "the key of an exercise", diagnostics)) return std::nullopt;
  Fields fields(*root, "a key", {},
                {"lugwise-key", "exercise", "seal", "program", "harness", "values", "level", "seed", "stage",
                 "is", "answer", "groups", "seconds", "path"},
                diagnostics);
  KeySheet key;
  fields.need("exercise");
  key.number = text_of(fields, "exercise", diagnostics);
  key.seal = text_of(fields, "seal", diagnostics);
  key.stage = text_of(fields, "stage", diagnostics);
  if (const Node* node = fields.find("values")) key.values = read_values(*node, diagnostics);
  if (const Node* node = fields.find("level")) {
    key.level = static_cast<int>(
        as_value(*node, "'level'", "R412", parse_number, kLevelLimits, diagnostics).value_or(1));
  }
  if (const Node* node = fields.need("harness"); node && as_map(*node, "'harness'", diagnostics)) {
    Fields harness(*node, "'harness'", fields.key_span("harness"), {"name", "id", "file"}, diagnostics);
    harness.need("file");
    key.harness_id = text_of(harness, "id", diagnostics);
    key.harness_file = text_of(harness, "file", diagnostics);
  }
  if (const Node* node = fields.find("seconds")) {
    key.seconds =
        as_value(*node, "'seconds'", "R412", parse_number, {0, 1e6, "a count of seconds"}, diagnostics)
            .value_or(0);
  }
  if (const Node* node = fields.find("path"); node && node->kind == Node::Kind::List) {
    for (const Node& step : node->items) {
      if (step.kind != Node::Kind::Map) continue;
      for (std::size_t i = 0; i < step.pairs(); ++i) {
        if (step.key(i).text == "probe") key.path.push_back(step.value(i).text);
      }
    }
  }
  if (const Node* node = fields.need("groups"); node && as_list(*node, "'groups'", diagnostics)) {
    for (const Node& each : node->items) {
      const auto ids = as_texts(each, "a group", diagnostics);
      if (!ids) continue;
      KeySheet::Group group;
      group.at = each.at;
      for (const Node* id : *ids) group.ids.push_back(id->text);
      key.groups.push_back(std::move(group));
    }
  }
  if (diagnostics.failed()) return std::nullopt;
  return key;
}

std::optional<RuleSheet> read_rule(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root || !right_kind(*root, "lugwise-marks", "a rule for marks", diagnostics)) return std::nullopt;
  Fields fields(*root, "a rule for marks", {}, {"lugwise-marks", "place", "probes", "hands", "wrong"},
                diagnostics);
  RuleSheet rule;
  const auto points = [&](std::string_view key, std::optional<double>& into) {
    if (const Node* node = fields.find(key))
      into = as_value(*node, fmt::format("'{}'", key), "E103", parse_number,
                      {0, 1000, "from 0 to 1000 points"}, diagnostics);
  };
  points("place", rule.place);
  points("probes", rule.probes);
  points("hands", rule.hands);
  points("wrong", rule.wrong);
  if (diagnostics.failed()) return std::nullopt;
  return rule;
}

}  // namespace lugwise
