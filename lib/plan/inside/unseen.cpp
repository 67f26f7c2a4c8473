#include "plan/inside/unseen.h"

#include <fmt/format.h>

#include <algorithm>
#include <queue>

#include "expectation/corner.h"

namespace lugwise {
namespace {

// The elements of the least resistance from one point to another, without one of them; empty if there is no other way.
std::vector<ElementId> way_round(const Circuit& circuit, ElementId without, PointId from, PointId to) {
  std::vector<std::vector<std::pair<std::uint32_t, std::uint32_t>>> arms(circuit.points);
  for (std::uint32_t b = 0; b < circuit.branches.size(); ++b) {
    const Branch& branch = circuit.branches[b];
    if (branch.element == without) continue;
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
  std::vector<ElementId> way;
  if (distance[to.index] == kFar) return way;
  for (std::uint32_t at = to.index; at != from.index;) {
    const Branch& branch = circuit.branches[came[at]];
    way.push_back(branch.element);
    at = branch.a.index == at ? branch.b.index : branch.a.index;
  }
  std::reverse(way.begin(), way.end());
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

}  // namespace

Reason why_unseen(const Harness& harness, const Fault& fault, const PlanOptions& options,
                  const std::vector<Survey>& surveys) {
  const auto name = [&](PointId point) { return harness[point].name; };
  if (fault.site == Site::Capacitor) {
    if (fault.mode == Mode::Open) {
      return {"a sound capacitor reads open too",
              fmt::format("{}measure {} on a capacitance range",
                          harness.parts().size() > 1 ? "lift one lead and " : "",
                          harness[*harness[fault.points[0]].part].name)};
    }
    return {"other paths hide it", "lift one lead of the capacitor and measure across it: it must read OL"};
  }
  if (is_worn_track(fault)) {
    const std::string& pot = harness[*harness[*fault.element].part].name;
    if (options.depth == Depth::Outside) {
      return {"no two points outside see its wiper moving", "open the cavity: plan with --depth full"};
    }
    return {"no two points within reach see its wiper moving",
            fmt::format("lift one lead of {} and sweep it alone, from {}.1 to {}.2", pot, pot, pot)};
  }
  State state;
  state.stage = options.stage;
  state.temperature = options.temperature;
  if (fault.mode == Mode::Short) {
    state.setting = Setting(harness);
    const Circuit circuit = circuit_of(harness, state);
    const Network network = network_at(circuit, resistors_at(circuit, Corner::Nominal));
    if (circuit.has(fault.a) && circuit.has(fault.b) && network.connected(fault.a.index, fault.b.index) &&
        *network.resistance(fault.a.index, fault.b.index) < 10) {
      return {fmt::format("{} and {} are joined on purpose", name(fault.a), name(fault.b)),
              "look; it does no harm"};
    }
    if (options.depth == Depth::Outside) {
      return {"no point outside shows it", "open the cavity: plan with --depth full"};
    }
    return {
        "no reachable pair of points changes enough",
        fmt::format("look between {} and {}, or lift a lead of one of them", name(fault.a), name(fault.b))};
  }

  // Open: the first setting in which the element conducts tells whether another way carries on.
  for (const Setting& setting : surveys.empty() ? std::vector{Setting(harness)} : surveys.back().settings) {
    state.setting = setting;
    // A touch that opens with the cavity conducts only before it is opened.
    state.cavity_open = harness[*fault.element].when != Conducts::CavityClosed;
    const Circuit circuit = circuit_of(harness, state);
    const auto branch = std::find_if(circuit.branches.begin(), circuit.branches.end(),
                                     [&](const Branch& each) { return each.element == fault.element; });
    if (branch == circuit.branches.end() || branch->travel) continue;
    const std::vector<ElementId> way = way_round(circuit, branch->element, branch->a, branch->b);
    if (!way.empty() && options.depth == Depth::Full) {
      const Element& element = harness[*fault.element];
      std::string lift = "lift one end of that path and probe across";
      if (element.kind == ElementKind::Coil || element.kind == ElementKind::Track ||
          element.kind == ElementKind::Resistor) {
        lift = fmt::format("lift one lead of {} and measure it alone", harness[*element.part].name);
      }
      return {fmt::format("a second path stays: {}", name_way(harness, way)), lift};
    }
    if (options.depth == Depth::Outside) {
      return {"no two points outside lie on both sides of it", "open the cavity: plan with --depth full"};
    }
    if (!state.cavity_open) {
      return {"it touches only while the cavity is closed, and no two points outside lie on both sides of it",
              "measure with the cover held in its place, or press plate and jack while watching a reading"};
    }
    const bool stub =
        harness[branch->a].role == PointRole::Surface || harness[branch->b].role == PointRole::Surface;
    return {"no two points within reach lie on both sides of it",
            stub ? "uncover one side of it, or press and wiggle it while watching a reading through it"
                 : "reach one side of it with a probe"};
  }
  return {"it conducts in no setting of this plan", "check the drawing"};
}

}  // namespace lugwise
