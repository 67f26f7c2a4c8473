#include "intake/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "intake/inside/entry_reader.h"
#include "intake/inside/fields.h"
#include "intake/inside/heard_reader.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/plan_reader.h"
#include "intake/inside/sheet_desk.h"
#include "intake/inside/tree.h"
#include "intake/inside/unit_reader.h"
#include "intake/inside/values_reader.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

using namespace intake::inside;

class SheetReader {
 public:
  SheetReader(const Netlist& netlist, Diagnostics& diagnostics, const Meter* named)
      : desk_(netlist, diagnostics, named) {}

  std::optional<Sheet> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "a readings file", root.at,
                  {"lugwise-readings", "harness", "values", "unit", "plan", "meter", "temperature",
                   "readings", "heard", "exercise", "claims"},
                  desk_.diagnostics, "claims");  // bare: nothing was named
    if (const Node* node = fields.find("harness")) {
      if (const std::string* text = as_text(*node, "'harness'", desk_.diagnostics))
        sheet_.harness_file = *text;
    }
    if (const Node* node = fields.find("values")) sheet_.values = read_values(*node, desk_.diagnostics);
    if (const Node* node = fields.find("unit"))
      sheet_.unit = read_unit(*node, fields.key_span("unit"), desk_.diagnostics);
    desk_.plan_given = fields.given("plan");
    if (const Node* node = fields.find("plan")) read_plan(*node, fields.key_span("plan"));
    read_meter(fields);
    if (const Node* node = fields.find("temperature"))
      sheet_.temperature = read_temperature(*node, desk_.diagnostics);
    read_list(fields, "readings", EntryReader(desk_), sheet_.entries);
    read_list(fields, "heard", HeardReader(desk_), sheet_.heard);
    // What read_exercise() reads of the same file may stand without a reading.
    // Whoever named nothing answers an exercise all the same.
    const bool answered = fields.given("exercise");
    if (!fields.given("readings") && !fields.given("heard") && !answered) fields.need("readings");
    if (desk_.diagnostics.failed()) return std::nullopt;
    return std::move(sheet_);
  }

 private:
  bool right_kind(const Node& root) {
    if (root.kind != Node::Kind::Map) {
      desk_.diagnostics.error("R101", root.at, "not a readings file: it must be a map of 'key: value'")
          .note("a readings file begins with 'lugwise-readings: 1'");
      return false;
    }
    const Node* netlist = nullptr;
    bool readings = false;
    bool mistyped = false;  // which is reported among the keys
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      if (root.key(i).text == "lugwise") netlist = &root.key(i);
      if (root.key(i).text == "readings" || root.key(i).text == "heard") readings = true;
      if (root.key(i).text != "lugwise-readings") {
        mistyped |= nearest_name(root.key(i).text, {"lugwise-readings"}).has_value();
        continue;
      }
      const Node& version = root.value(i);
      if (version.kind == Node::Kind::Nothing) return true;  // reported among the keys
      const std::string* text = as_text(version, "'lugwise-readings'", desk_.diagnostics);
      if (!text) return false;
      if (*text == "1") return true;
      desk_.diagnostics
          .error("R102", version.at,
                 fmt::format("version '{}' of the readings file is not one this program reads",
                             text->substr(0, 60)))
          .note("it reads version 1");
      return false;
    }
    if (mistyped && readings && !netlist) return true;
    if (netlist) {
      desk_.diagnostics.error("R101", netlist->at, "this is a netlist, not a readings file");
    } else {
      desk_.diagnostics.error("R101", {}, "not a readings file: 'lugwise-readings: 1' is missing")
          .note("it says which version of the format the file is in");
    }
    return readings && !netlist;  // what else is wrong with it is told too
  }

  // Each entry holds the place of every control.
  bool too_many(const Node& entries) {
    constexpr std::size_t kMost = 10'000;
    constexpr std::size_t kMostPlaces = 20'000'000;
    const std::size_t most = std::min(kMost, kMostPlaces / desk_.harness.parts().size());
    if (entries.items.size() <= most) return false;
    desk_.diagnostics.error(
        "R103", entries.at,
        fmt::format("{} entries; at most {} can be read in one file", entries.items.size(), most));
    return true;
  }

  template <class Reader, class Read>
  void read_list(const Fields& fields, std::string_view key, Reader reader, std::vector<Read>& list) {
    const Node* const node = fields.find(key);
    if (!node || !as_list(*node, fmt::format("'{}'", key), desk_.diagnostics) || too_many(*node)) return;
    for (const Node& item : node->items) {
      if (auto read = reader.read(item)) list.push_back(std::move(*read));
    }
  }

  void read_meter(const Fields& fields) {
    if (!fields.given("meter")) return;
    const Node* node = fields.find("meter");
    sheet_.meter = node ? read_meter_map(*node, fields.key_span("meter"), desk_.diagnostics) : std::nullopt;
    if (desk_.meter_named) return;
    desk_.meter_known = sheet_.meter.has_value();
    if (sheet_.meter) desk_.meter = *sheet_.meter;
  }

  void read_plan(const Node& node, Span at) {
    PlanRead read = intake::inside::read_plan(node, at, PlanOf::Readings, desk_.diagnostics);
    if (read.stage) find_stage(*read.stage);
    sheet_.plan = std::move(read.plan);
  }

  void find_stage(const Node& stage) {
    desk_.stage = lugwise::find_stage(desk_.harness, stage.text);
    if (desk_.stage) return;
    std::vector<std::string> names;
    for (const Stage& one : desk_.harness.stages()) names.push_back(one.name);
    Diagnostic& error = desk_.diagnostics.error(
        "R205", stage.at, fmt::format("no such stage: '{}'", stage.text.substr(0, 100)));
    if (names.empty()) error.note("the netlist has no stages");
    desk_.suggestions.note(error, stage.text, names, "the stages are");
  }

  SheetDesk desk_;
  Sheet sheet_;
};

}  // namespace

std::optional<Sheet> read_sheet(std::string_view text, const Netlist& netlist, Diagnostics& diagnostics,
                                const Meter* meter) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  return SheetReader(netlist, diagnostics, meter).read(*root);
}

std::string harness_named_in(std::string_view text) {
  const SourceText source(text);
  Diagnostics unheard("");
  const auto root = parse_tree(source, unheard);
  if (!root || root->kind != Node::Kind::Map) return {};
  for (std::size_t i = 0; i < root->pairs(); ++i) {
    if (root->key(i).text == "harness") return root->value(i).text;
  }
  return {};
}

std::vector<ChosenValue> values_chosen_in(std::string_view text, const std::string& file) {
  if (text.find("values") == std::string_view::npos) return {};  // most files: nothing is read twice
  const SourceText source(text);
  Diagnostics unheard(file);
  const auto root = parse_tree(source, unheard);
  if (!root || root->kind != Node::Kind::Map) return {};
  const Node* values = nullptr;
  bool readings = false;
  for (std::size_t i = 0; i < root->pairs(); ++i) {
    if (root->key(i).text == "lugwise-readings") readings = true;
    if (root->key(i).text == "values") values = &root->value(i);
  }
  return readings && values ? read_values(*values, unheard) : std::vector<ChosenValue>();
}

}  // namespace lugwise
