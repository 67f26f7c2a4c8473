#include "plan/inside/unseen.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <queue>

#include "expectation/corner.h"

namespace lugwise::plan::inside {
namespace {

// A path through a circuit; no elements: there is none.
struct Path {
  std::vector<ElementId> elements;
  Ohms ohms = 0;
};

// That of the least resistance from one point to another.
Path way_round(const Circuit& circuit, PointId from, PointId to) {
  std::vector<std::vector<std::pair<std::uint32_t, std::uint32_t>>> arms(circuit.points);
  for (std::uint32_t b = 0; b < circuit.branches.size(); ++b) {
    const Branch& branch = circuit.branches[b];
    arms[branch.a.index].emplace_back(branch.b.index, b);
    arms[branch.b.index].emplace_back(branch.a.index, b);
  }
  constexpr double kFar = 1e300;
  std::vector<double> distance(circuit.points, kFar);
  std::vector<std::uint32_t> came(circuit.points, 0);
  using Turn = std::pair<double, std::uint32_t>;
  std::priority_queue<Turn, std::vector<Turn>, std::greater<>> turns;
  distance[from.index] = 0;
  turns.emplace(0, from.index);
  while (!turns.empty()) {
    const auto [far, at] = turns.top();
    turns.pop();
    if (far > distance[at]) continue;
    for (const auto& [next, b] : arms[at]) {
      const double there = far + ohms_at(circuit.branches[b], Corner::Nominal);
      if (there >= distance[next]) continue;
      distance[next] = there;
      came[next] = b;
      turns.emplace(there, next);
    }
  }
  Path way;
  if (distance[to.index] == kFar) return way;
  way.ohms = distance[to.index];
  for (std::uint32_t at = to.index; at != from.index;) {
    const Branch& branch = circuit.branches[came[at]];
    way.elements.push_back(branch.element);
    at = branch.a.index == at ? branch.b.index : branch.a.index;
  }
  std::reverse(way.elements.begin(), way.elements.end());
  return way;
}

// The stretches worth naming: wires, touches and parts; their joints go without saying.
std::string name_way(const Harness& harness, const std::vector<ElementId>& way) {
  std::vector<std::string> names;
  for (ElementId id : way) {
    const Element& element = harness[id];
    std::string name;
    switch (element.kind) {
      case ElementKind::Wire:
        name = fmt::format("the wire {} to {}", harness[element.points[0]].name,
                           harness[element.points[1]].name);
        break;
      case ElementKind::Contact:
        name = fmt::format("the contact {} to {}", harness[element.points[0]].name,
                           harness[element.points[1]].name);
        break;
      case ElementKind::Coil:
        name = fmt::format("the coil of {}", harness[*element.part].name);
        break;
      case ElementKind::Track:
      case ElementKind::Resistor:
        name = harness[*element.part].name;
        break;
      default:
        continue;
    }
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  }
  if (names.empty()) return "other joints of the same solder";
  std::string text;
  const std::size_t shown = std::min<std::size_t>(names.size(), 4);
  for (std::size_t i = 0; i < shown; ++i) text += (i == 0 ? "" : ", ") + names[i];
  if (names.size() > shown) text += " and on";
  return text;
}

class Explainer {
 public:
  Explainer(const Harness& harness, const std::vector<Fault>& faults, std::size_t number,
            const PlanOptions& options, const std::vector<Survey>& surveys)
      : harness_(harness),
        fault_(faults[number]),
        options_(options),
        outside_(options.depth == Depth::Outside) {
    settings_ = surveys.empty() ? std::vector{Setting(harness)} : surveys.back().settings;
    const int depth = surveys.empty() ? 0 : surveys.back().access.depth;
    within_ = reachable(harness, options.stage, depth);
    for (const Survey& survey : surveys) beyond_ = std::min(beyond_, survey.beyond[number]);
  }

  UnseenReason why() const {
    if (beyond_ < HUGE_VAL) return of_meter();
    if (fault_.site == Site::Capacitor) return of_capacitor();
    if (is_worn_track(fault_)) return of_worn_track();
    if (fault_.mode == Mode::Short) return of_short();
    if (fault_.mode == Mode::Misplaced) return of_misplaced();
    return of_element();
  }

 private:
  std::string name(PointId point) const { return harness_[point].name; }

  bool in_reach(PointId point) const { return std::binary_search(within_.begin(), within_.end(), point); }

  State state(const Setting& setting) const {
    State state;
    state.setting = setting;
    state.stage = options_.stage;
    state.temperature = options_.temperature;
    return state;
  }

  UnseenReason of_meter() const {
    return {fmt::format("this meter reads {} there, sound or faulty", options_.meter.over),
            fmt::format("a meter with a range above {}", in_words(beyond_))};
  }

  UnseenReason of_capacitor() const {
    if (fault_.mode != Mode::Open) {
      return {"other paths hide it", "lift one lead of the capacitor and measure across it: it must read OL"};
    }
    return {"a sound capacitor reads open too",
            fmt::format("{}measure {} on a capacitance range",
                        harness_.parts().size() > 1 ? "lift one lead and " : "",
                        harness_[*harness_[fault_.points[0]].part].name)};
  }

  UnseenReason of_worn_track() const {
    const PartId part = *harness_[*fault_.element].part;
    const std::string& pot = harness_[part].name;
    if (outside_)
      return {"no two points outside see its wiper moving", "open the cavity: plan with --depth full"};
    return {"no two points within reach see its wiper moving",
            fmt::format("{}lift one lead of {} and sweep it alone, from {}.1 to {}.2", taken_out(part), pot,
                        pot, pot)};
  }

  UnseenReason of_short() const {
    const Circuit circuit = circuit_of(harness_, state(Setting(harness_)));
    const std::string a = name(fault_.a);
    const std::string b = name(fault_.b);
    const bool there = circuit.has(fault_.a) && circuit.has(fault_.b);
    if (there && joined_everywhere())
      return {fmt::format("{} and {} are joined on purpose", a, b), "look; it does no harm"};
    if (outside_) return {"no point outside shows it", "open the cavity: plan with --depth full"};
    if (there && only_by_module(circuit, fault_.a, fault_.b)) {
      return {"only a module joins them, and what it reads nobody knows",
              fmt::format("look between {} and {}, or lift a lead of the module", a, b)};
    }
    return {"no reachable pair of points changes enough",
            fmt::format("look between {} and {}, or lift a lead of one of them", a, b)};
  }

  // Whether the ends of a short are one as good as, whatever the controls: with each knob between its stops too.
  bool joined_everywhere() const {
    const auto joined = [&](const Setting& setting) {
      const Circuit circuit = circuit_of(harness_, state(setting));
      const auto ohms = network_at(circuit, resistors_at(circuit, Corner::Nominal))
                            .resistance(fault_.a.index, fault_.b.index);
      return ohms && *ohms < 10;
    };
    for (const Setting& setting : settings_) {
      if (!joined(setting)) return false;
      for (PartId control : harness_.controls()) {
        if (harness_[control].kind != PartKind::Pot) continue;
        Setting between = setting;
        between.turn(control, 5);
        if (!joined(between)) return false;
      }
    }
    return true;
  }

  UnseenReason of_misplaced() const {
    if (outside_)
      return {"no two points outside tell it from what belongs there",
              "open the cavity: plan with --depth full"};
    return {"what can be read there is as it should be, or near enough", "look where each lead goes"};
  }

  // Of all settings in which it conducts, that where the way of the least resistance round it has the most.
  UnseenReason of_element() const {
    std::vector<Parted> all;
    std::size_t best = 0;
    for (const Setting& setting : settings_) {
      State here = state(setting);
      // A touch that opens with the cavity conducts only before it is opened.
      here.cavity_open = harness_[*fault_.element].when != Conducts::CavityClosed;
      const Circuit circuit = circuit_of(harness_, here);
      const auto branch = std::find_if(circuit.branches.begin(), circuit.branches.end(),
                                       [&](const Branch& each) { return each.element == fault_.element; });
      if (branch == circuit.branches.end() || branch->travel) continue;
      Parted parted{without(circuit, *fault_.element), branch->a, branch->b, {}};
      parted.way = way_round(parted.circuit, parted.a, parted.b);
      if (parted.way.elements.empty() && !only_by_module(parted.circuit, parted.a, parted.b))
        return of_hidden(here, parted);
      if (!all.empty() && parted.way.ohms > all[best].way.ohms) best = all.size();
      all.push_back(std::move(parted));
    }
    if (all.empty()) return {"it conducts in no setting of this plan", "check the drawing"};
    if (outside_)
      return {"no two points outside lie on both sides of it", "open the cavity: plan with --depth full"};
    if (all[best].way.elements.empty()) {
      return {"a module lies beside it, and what it reads nobody knows",
              "lift a lead of the module and probe across"};
    }
    if (one_of_a_sum()) return of_sum();
    return {fmt::format("a second path stays: {}", name_way(harness_, all[best].way.elements)),
            lift_on(all[best], all.front())};
  }

  // The circuit of a setting without the element, and the way that is left from its one end to the other.
  struct Parted {
    Circuit circuit;
    PointId a, b;
    Path way;
  };

  UnseenReason of_hidden(const State& state, const Parted& parted) const {
    if (outside_)
      return {"no two points outside lie on both sides of it", "open the cavity: plan with --depth full"};
    if (!state.cavity_open) {
      return {"it touches only while the cavity is closed, and no two points outside lie on both sides of it",
              "measure with the cover held in its place, or press plate and jack while watching a reading"};
    }
    if (one_of_a_sum()) return of_sum();
    const bool stub =
        harness_[parted.a].role == PointRole::Surface || harness_[parted.b].role == PointRole::Surface;
    return {"no two points within reach lie on both sides of it",
            stub ? "uncover one side of it, or press and wiggle it while watching a reading through it"
                 : "reach one side of it with a probe"};
  }

  // Whether it is the value of one of a pickup's coils that no probe gets between.
  bool one_of_a_sum() const {
    if (fault_.mode != Mode::Value || harness_[*fault_.element].kind != ElementKind::Coil) return false;
    const auto parts = measured_alone(harness_);
    return std::none_of(parts.begin(), parts.end(),
                        [&](const auto& part) { return part == std::vector{*fault_.element}; });
  }

  static UnseenReason of_sum() {
    return {"only the sum of its coils can be read, and their tolerances hide it",
            "nothing on the harness; open the pickup, or go by the sum"};
  }

  static Circuit without(Circuit circuit, ElementId element) {
    std::erase_if(circuit.branches, [&](const Branch& branch) { return branch.element == element; });
    return circuit;
  }

  // Whether two points are apart as far as resistances go, and a module may join them.
  static bool only_by_module(const Circuit& circuit, PointId a, PointId b) {
    if (circuit.modules.empty()) return false;
    const std::vector<Resistor> resistors = resistors_at(circuit, Corner::Low);
    return !network_at(circuit, resistors).connected(a.index, b.index) &&
           network_at(circuit, resistors, Modules::Joined).connected(a.index, b.index);
  }

  std::string taken_out(PartId part) const {
    const std::vector<PointId>& points = harness_[part].points;
    return std::any_of(points.begin(), points.end(), [&](PointId point) { return in_reach(point); })
               ? ""
               : "take it out where an iron gets at it, then ";
  }

  // The first joint on the other way, or else touch, without which there is none, nor as the controls usually stand.
  std::string lift_on(const Parted& best, const Parted& usual) const {
    const Element& element = harness_[*fault_.element];
    const bool measured = element.kind == ElementKind::Coil || element.kind == ElementKind::Track ||
                          element.kind == ElementKind::Resistor;
    const std::string out = measured ? taken_out(*element.part) : "";
    for (const ElementKind kind : {ElementKind::Joint, ElementKind::Contact}) {
      for (ElementId id : best.way.elements) {
        const Element& cut = harness_[id];
        if (cut.kind != kind || (kind == ElementKind::Contact && !cut.pressed) || !out.empty()) continue;
        if (!in_reach(cut.points.front()) || !in_reach(cut.points.back())) continue;
        const auto stays = [&](const Parted& one) {
          return !way_round(without(one.circuit, id), one.a, one.b).elements.empty();
        };
        if (stays(best) || stays(usual)) continue;
        const std::string then =
            measured ? fmt::format("measure {} alone", harness_[*element.part].name) : "probe across";
        const std::string one = name(cut.points.front());
        const std::string other = name(cut.points.back());
        return kind == ElementKind::Joint ? fmt::format("lift {} from {} and {}", other, one, then)
                                          : fmt::format("part {} from {} and {}", one, other, then);
      }
    }
    return measured
               ? fmt::format("{}lift one lead of {} and measure it alone", out, harness_[*element.part].name)
               : "lift a lead on each way round it and probe across";
  }

  const Harness& harness_;
  const Fault& fault_;
  const PlanOptions& options_;
  bool outside_;
  std::vector<Setting> settings_;
  std::vector<PointId> within_;
  Ohms beyond_ = HUGE_VAL;  // of the range that would show it
};

}  // namespace

UnseenReason why_unseen(const Harness& harness, const std::vector<Fault>& faults, std::size_t number,
                        const PlanOptions& options, const std::vector<Survey>& surveys) {
  return Explainer(harness, faults, number, options, surveys).why();
}

}  // namespace lugwise::plan::inside
