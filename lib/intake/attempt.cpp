#include "intake/attempt.h"

#include <fmt/format.h>

#include "intake/inside/fields.h"
#include "intake/inside/tree.h"
#include "intake/value.h"

namespace lugwise {
namespace {

using namespace intake::inside;

const Node* value_of(const Node& map, std::string_view key) {
  for (std::size_t i = 0; i < map.pairs(); ++i) {
    if (map.key(i).text == key) return &map.value(i);
  }
  return nullptr;
}

void read_note(const Node& node, Diagnostics& diagnostics, ExerciseNote& note) {
  if (!as_map(node, "'exercise'", diagnostics)) return;
  Fields fields(node, "'exercise'", node.at, {"number", "level", "seal", "by", "given"}, diagnostics);
  const auto text = [&](std::string_view key, std::string& into) {
    const Node* value = fields.find(key);
    if (!value) return;
    if (const std::string* words = as_text(*value, fmt::format("'{}'", key), diagnostics)) into = *words;
  };
  fields.need("number");
  text("number", note.number);
  if (note.number.size() == 1) note.number.insert(0, "0");  // as its files are called
  text("seal", note.seal);
  text("by", note.by);
  const auto count = [&](std::string_view key, Limits limits, double usual) {
    const Node* value = fields.find(key);
    if (!value) return usual;
    return as_value(*value, fmt::format("'{}'", key), "R412", parse_number, limits, diagnostics)
        .value_or(usual);
  };
  note.level = static_cast<int>(count("level", kLevelLimits, 1));
  note.given = static_cast<std::size_t>(count("given", {0, 10'000, "a count of readings"}, 0));
}

}  // namespace

std::optional<ExerciseNote> read_exercise(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root || root->kind != Node::Kind::Map) return std::nullopt;
  const Node* const exercise = value_of(*root, "exercise");
  if (!exercise) return std::nullopt;
  ExerciseNote note;
  read_note(*exercise, diagnostics, note);
  if (const Node* claims = value_of(*root, "claims"); claims && claims->kind != Node::Kind::Nothing) {
    if (const auto texts = as_texts(*claims, "'claims'", diagnostics)) {
      for (const Node* each : *texts) note.claims.push_back({each->text, each->at});
    }
  }
  if (diagnostics.failed()) return std::nullopt;
  return note;
}

}  // namespace lugwise
