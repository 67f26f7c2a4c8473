#include "circuit/capacitance.h"

#include "circuit/clusters.h"

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
  Clusters clusters(circuit.points);
  for (const Branch& branch : circuit.branches) clusters.join(branch.a.index, branch.b.index);
  for (const std::vector<PointId>& module : circuit.modules) {
    for (const PointId point : module) clusters.join(module.front().index, point.index);
  }
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    const bool there = circuit.has(element.a) && circuit.has(element.b);
    if (element.kind == ElementKind::Capacitor && there && ElementId{i} != capacitor)
      clusters.join(element.a.index, element.b.index);
  }
  return !clusters.together(harness[capacitor].a.index, harness[capacitor].b.index);
}

Capacitance farads_of(const Harness& harness, ElementId capacitor) {
  const Part& part = harness[*harness[capacitor].part];
  const auto [low, nominal, high] = around(part.value.value_or(0), part.tolerance.value_or(0));
  return {low, nominal, high};
}

}  // namespace lugwise
