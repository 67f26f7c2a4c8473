#include "intake/workshop.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "intake/inside/fields.h"
#include "intake/inside/opening.h"
#include "intake/inside/tree.h"
#include "intake/value.h"

namespace lugwise {

using namespace intake::inside;
namespace {

struct Second {
  std::string_view key;
  double Costs::*cost;
};
constexpr std::array kSeconds{Second{"open-cavity", &Costs::open_cavity},
                              Second{"open-cover", &Costs::open_cover},
                              Second{"read", &Costs::read},
                              Second{"move-probe", &Costs::move_probe},
                              Second{"turn-control", &Costs::turn_control},
                              Second{"change-range", &Costs::change_range},
                              Second{"sweep", &Costs::sweep},
                              Second{"wiggle", &Costs::wiggle},
                              Second{"lift", &Costs::lift},
                              Second{"refit", &Costs::refit}};

class Reader {
 public:
  explicit Reader(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  std::optional<Workshop> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "the workshop file", {},
                  {"lugwise-workshop", "seconds", "opening", "faulty", "common"}, diagnostics_);
    fields.need("lugwise-workshop");
    if (const Node* node = fields.find("seconds")) read_seconds(*node, fields.key_span("seconds"));
    if (const Node* node = fields.find("opening")) {
      const auto seconds = read_opening(*node, diagnostics_);
      if (seconds) workshop_.costs.open_cavity = *seconds;
    }
    if (const Node* node = fields.find("faulty")) {
      const auto share = as_value(*node, "'faulty'", "N303", parse_share,
                                  {0, 1, "a share of the instruments, from 0% to 100%"}, diagnostics_);
      if (share) workshop_.costs.faulty = *share;
    }
    if (const Node* node = fields.find("common")) read_common(*node, fields.key_span("common"));
    if (diagnostics_.failed()) return std::nullopt;
    return std::move(workshop_);
  }

 private:
  bool right_kind(const Node& root) {
    if (root.kind != Node::Kind::Map) {
      diagnostics_.error("S101", root.at, "not a workshop file: it must be a map of 'key: value'")
          .note("a workshop file begins with 'lugwise-workshop: 1'");
      return false;
    }
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      const Node& key = root.key(i);
      if (key.text == "lugwise" || key.text == "lugwise-readings") {
        diagnostics_.error("S101", key.at,
                           key.text == "lugwise" ? "this is a netlist, not a workshop file"
                                                 : "this is a readings file, not a workshop file");
        return false;
      }
      if (key.text != "lugwise-workshop") continue;
      const Node& version = root.value(i);
      if (version.kind == Node::Kind::Nothing) return true;  // reported among the keys
      const std::string* text = as_text(version, "'lugwise-workshop'", diagnostics_);
      if (!text) return false;
      if (*text == "1") return true;
      diagnostics_
          .error("S102", version.at,
                 fmt::format("version '{}' of the workshop file is not one this program reads",
                             text->substr(0, 60)))
          .note("it reads version 1");
      return false;
    }
    diagnostics_.error("S101", {}, "not a workshop file: 'lugwise-workshop: 1' is missing")
        .note("it says which version of the format the file is in");
    return false;
  }

  void read_seconds(const Node& node, Span at) {
    if (!as_map(node, "'seconds'", diagnostics_)) return;
    const Fields fields(node, "'seconds'", at,
                        {"open-cavity", "open-cover", "read", "move-probe", "turn-control", "change-range",
                         "sweep", "wiggle", "lift", "refit"},
                        diagnostics_);
    for (const Second& each : kSeconds) {
      const Node* value = fields.find(each.key);
      if (!value) continue;
      const auto seconds = as_value(*value, fmt::format("'{}'", each.key), "S301", parse_seconds,
                                    {0, 3600, "from 0 to 3600 seconds"}, diagnostics_);
      if (seconds) workshop_.costs.*each.cost = *seconds;
    }
  }

  static Parsed<double> parse_seconds(std::string_view text) {
    if (text.ends_with('s')) text.remove_suffix(1);
    while (text.ends_with(' ')) text.remove_suffix(1);
    const Parsed<double> number = parse_number(text);
    if (number.value) return number;
    return {std::nullopt, fmt::format("not a count of seconds: '{}'", text.substr(0, 60)),
            "write a number, as '4' or '4 s'"};
  }

  static Parsed<double> parse_weight(std::string_view text) {
    const Parsed<double> number = parse_number(text);
    if (number.value) return number;
    return {std::nullopt, fmt::format("not a weight: '{}'", text.substr(0, 60)),
            "write a number; only its ratio to the others counts"};
  }

  void read_common(const Node& node, Span at) {
    if (!as_map(node, "'common'", diagnostics_)) return;
    const Fields fields(node, "'common'", at, {"open", "high", "short", "value", "misplaced"}, diagnostics_);
    for (const Mode mode : {Mode::Open, Mode::High, Mode::Short, Mode::Value, Mode::Misplaced}) {
      const Node* value = fields.find(mode_name(mode));
      if (value) read_kinds(mode, *value, fields.key_span(mode_name(mode)));
    }
  }

  void read_kinds(Mode mode, const Node& node, Span at) {
    const std::string what = fmt::format("'{}'", mode_name(mode));
    if (!as_map(node, what, diagnostics_)) return;
    std::vector<std::string_view> sites;
    for (const FaultKind& kind : fault_kinds()) {
      if (kind.mode == mode) sites.push_back(site_name(kind.site));
    }
    const Fields fields(node, what, at, sites, diagnostics_);
    for (const FaultKind& kind : fault_kinds()) {
      const Node* value = kind.mode == mode ? fields.find(site_name(kind.site)) : nullptr;
      if (!value) continue;
      const auto weight = as_value(*value, fmt::format("'{}'", site_name(kind.site)), "S302", parse_weight,
                                   {0.001, 1000, "from 0.001 to 1000"}, diagnostics_);
      if (weight) workshop_.common.push_back({kind, *weight});
    }
  }

  Diagnostics& diagnostics_;
  Workshop workshop_;
};

}  // namespace

std::optional<Workshop> read_workshop(std::string_view text, Diagnostics& diagnostics) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  return Reader(diagnostics).read(*root);
}

}  // namespace lugwise
