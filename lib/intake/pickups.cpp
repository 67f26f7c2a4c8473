#include "intake/pickups.h"

#include <fmt/format.h>

#include <set>

#include "intake/display.h"
#include "intake/inside/fields.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/tree.h"
#include "intake/reading_problem.h"
#include "intake/value.h"

namespace lugwise {
namespace {

using namespace intake::inside;

constexpr std::size_t kMostPickups = 1000;

class Reader {
 public:
  Reader(Diagnostics& diagnostics, const Meter* meter, std::optional<double> celsius)
      : diagnostics_(diagnostics), meter_(meter), celsius_(celsius) {}

  std::optional<Lot> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "a file of pickups", {},
                  {"lugwise-pickups", "meter", "temperature", "sets", "pickups"}, diagnostics_);
    lot_.meter = meter_ ? *meter_ : assumed_meter();
    if (const Node* node = fields.find("meter")) {
      const auto own = read_meter_map(*node, fields.key_span("meter"), diagnostics_);
      if (own && !meter_) lot_.meter = *own;
    }
    if (const Node* node = fields.find("temperature")) {
      const auto warm = read_temperature(*node, diagnostics_);
      if (!celsius_) celsius_ = warm;
    }
    if (const Node* node = fields.find("sets")) read_sets(*node);
    const Node* pickups = fields.need("pickups");
    if (pickups && as_map(*pickups, "'pickups'", diagnostics_)) read_list(*pickups);
    if (diagnostics_.failed()) return std::nullopt;
    return std::move(lot_);
  }

 private:
  bool right_kind(const Node& root) {
    if (root.kind == Node::Kind::Map) {
      for (std::size_t i = 0; i < root.pairs(); ++i) {
        if (root.key(i).text != "lugwise-pickups") continue;
        const Node& version = root.value(i);
        if (version.kind == Node::Kind::Text && version.text == "1") return true;
        diagnostics_.error("K102", version.at, "this version of a file of pickups can't be read")
            .note("this program reads version 1");
        return false;
      }
    }
    diagnostics_.error("K101", root.at, "not a file of pickups: 'lugwise-pickups: 1' is missing")
        .note("it says which version of the format the file is in");
    return false;
  }

  void read_sets(const Node& node) {
    const auto texts = as_texts(node, "'sets'", diagnostics_);
    if (!texts) return;
    lot_.sizes.clear();
    for (const Node* each : *texts) {
      if (each->text == "2" || each->text == "3") {
        lot_.sizes.push_back(each->text == "2" ? 2 : 3);
      } else {
        diagnostics_
            .error("K301", each->at, fmt::format("sets of '{}' are not proposed", each->text.substr(0, 40)))
            .note("write 2, 3 or both: [2, 3]");
      }
    }
  }

  void read_list(const Node& node) {
    if (node.pairs() > kMostPickups) {
      diagnostics_.error(
          "K103", node.at,
          fmt::format("{} pickups; at most {} can be read in one file", node.pairs(), kMostPickups));
      return;
    }
    std::set<std::string> names;
    for (std::size_t i = 0; i < node.pairs(); ++i) {
      const std::string* name = as_name(node.key(i), "a pickup's name", diagnostics_);
      if (!name) continue;
      if (!names.insert(*name).second) {
        diagnostics_.error("N113", node.key(i).at, fmt::format("'{}' is given twice", *name));
        continue;
      }
      read_pickup(*name, node.key(i).at, node.value(i));
    }
  }

  void read_pickup(const std::string& name, Span at, const Node& node) {
    MeasuredPickup pickup;
    pickup.name = name;
    pickup.temperature = celsius_;
    // `A1: 6.21k` says all there is to say of most.
    if (node.kind == Node::Kind::Text) {
      if (auto coil = read_coil("", node, nullptr)) pickup.coils.push_back(*coil);
      lot_.pickups.push_back(std::move(pickup));
      return;
    }
    if (!as_map(node, fmt::format("pickup '{}'", name), diagnostics_)) return;
    Fields fields(node, fmt::format("pickup '{}'", name), at,
                  {"reads", "coils", "range", "temperature", "group"}, diagnostics_);
    if (const Node* group = fields.find("group")) {
      if (const std::string* text = as_text(*group, "'group'", diagnostics_)) pickup.group = *text;
    }
    if (const Node* warm = fields.find("temperature")) {
      if (const auto own = read_temperature(*warm, diagnostics_)) pickup.temperature = own;
    }
    const Node* range = fields.find("range");
    const Node* reads = fields.find("reads");
    const Node* coils = fields.find("coils");
    if (reads && coils) {
      diagnostics_
          .error("K302", fields.key_span("reads"),
                 fmt::format("pickup '{}' has both 'reads' and 'coils'", name))
          .note("write the whole pickup, or each of its coils");
    } else if (coils) {
      if (!as_map(*coils, "'coils'", diagnostics_)) return;
      for (std::size_t i = 0; i < coils->pairs(); ++i) {
        if (auto coil = read_coil(coils->key(i).text, coils->value(i), range)) pickup.coils.push_back(*coil);
      }
      if (coils->pairs() == 0)
        diagnostics_.error("K302", coils->at, fmt::format("pickup '{}' has no coil", name));
    } else if (const Node* needed = fields.need("reads")) {
      if (auto coil = read_coil("", *needed, range)) pickup.coils.push_back(*coil);
    }
    lot_.pickups.push_back(std::move(pickup));
  }

  std::optional<MeasuredCoil> read_coil(const std::string& name, const Node& reads, const Node* range) {
    const std::string* text = as_text(reads, "a reading", diagnostics_);
    if (!text) return std::nullopt;
    MeasuredCoil coil;
    coil.name = name;
    if (range) {
      const std::string* typed = as_text(*range, "'range'", diagnostics_);
      if (!typed) return std::nullopt;
      const Parsed<Ohms> top = parse_ohms(*typed);
      if (!top.value || !lot_.meter.find_range(*top.value)) {
        diagnostics_.error("R304", range->at,
                           fmt::format("the meter has no range of {}", typed->substr(0, 60)));
        return std::nullopt;
      }
      coil.range = *top.value;
    }
    const Parsed<Shown> shown = parse_display(*text, lot_.meter);
    if (!shown.value || shown.value->shows != Shows::Value || shown.value->farads ||
        !(shown.value->value > 0)) {
      Diagnostic& error = diagnostics_.error(
          "R301", reads.at,
          shown.value ? fmt::format("a pickup's coil reads ohms, not '{}'", text->substr(0, 60))
                      : shown.problem);
      if (!shown.hint.empty()) error.note(shown.hint);
      return std::nullopt;
    }
    if (const auto problem = reading_problem(lot_.meter, coil.range, *shown.value, *text)) {
      Diagnostic& error = diagnostics_.error(
          problem->kind == ReadingProblem::Kind::AboveRange ? "R303" : "R302", reads.at, problem->problem);
      const std::string hint = problem->in_file(*text, TypedAs::Reading);
      if (!hint.empty()) error.note(hint);
      return std::nullopt;
    }
    coil.reads = shown.value->value;
    coil.resolution = shown.value->resolution;
    return coil;
  }

  Diagnostics& diagnostics_;
  const Meter* meter_;
  std::optional<double> celsius_;
  Lot lot_;
};

}  // namespace

std::optional<Lot> read_pickups(std::string_view text, Diagnostics& diagnostics, const Meter* meter,
                                std::optional<double> celsius) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  return Reader(diagnostics, meter, celsius).read(*root);
}

}  // namespace lugwise
