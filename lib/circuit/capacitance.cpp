#include "circuit/capacitance.h"

#include <numeric>

namespace lugwise {

std::optional<ElementId> capacitor_between(const Harness& harness, PointId a, PointId b) {
  const auto& part = harness[a].part;
  if (!part || harness[b].part != part) return std::nullopt;
  if (harness[*part].kind != PartKind::Capacitor && !harness.piezo(*part)) return std::nullopt;
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    if (element.kind != ElementKind::Capacitor) continue;
    if ((element.a == a && element.b == b) || (element.a == b && element.b == a)) return ElementId{i};
  }
  return std::nullopt;
}

bool measured_alone(const Harness& harness, const Circuit& circuit, ElementId capacitor) {
  std::vector<std::uint32_t> joined(circuit.points);
  std::iota(joined.begin(), joined.end(), 0U);
  const auto root = [&](std::uint32_t point) {
    while (joined[point] != point) point = joined[point] = joined[joined[point]];
    return point;
  };
  const auto join = [&](PointId a, PointId b) { joined[root(a.index)] = root(b.index); };
  for (const Branch& branch : circuit.branches) join(branch.a, branch.b);
  for (const std::vector<PointId>& module : circuit.modules) {
    for (const PointId point : module) join(module.front(), point);
  }
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    const bool there = circuit.has(element.a) && circuit.has(element.b);
    if (element.kind == ElementKind::Capacitor && there && ElementId{i} != capacitor)
      join(element.a, element.b);
  }
  return root(harness[capacitor].a.index) != root(harness[capacitor].b.index);
}

Band farads_of(const Harness& harness, ElementId capacitor) {
  const Part& part = harness[*harness[capacitor].part];
  return around(part.value.value_or(0), part.tolerance.value_or(0));
}

}  // namespace lugwise
