#include "plan/inside/smallest.h"

#include <cmath>
#include <map>

#include "expectation/corner.h"
#include "handling/handling.h"

namespace lugwise::plan::inside {
namespace {

// With the rest of the circuit at its lowest, an element of d ohms makes the probes read
// R(d) = open - (open - shut) Ro / (Ro + d): rank-one, from the reading without the element, the reading with its ends
// joined, and the resistance Ro between its ends without it.
Ohms size_for(const Circuit& circuit, const Step& step, std::uint32_t branch, Ohms target) {
  std::vector<Resistor> rest = loose_resistors_at(circuit, Corner::Low);
  const Resistor element = rest[branch];
  std::vector<Resistor> joined = rest;
  joined[branch].ohms = 0;
  const Ohms shut =
      *network_at(circuit, std::move(joined), Modules::Joined).resistance(step.a.index, step.b.index);
  rest.erase(rest.begin() + branch);
  const Network without = network_at(circuit, std::move(rest), Modules::Joined);
  const auto open = without.resistance(step.a.index, step.b.index);
  if (!open) return target - shut;
  if (*open <= target) return HUGE_VAL;
  const auto round = without.resistance(element.a, element.b);
  if (!round) return HUGE_VAL;
  return *round * ((*open - shut) / (*open - target) - 1);
}

}  // namespace

std::vector<Smallest> smallest_noticed(const Harness& harness, const PlanOptions& options,
                                       const std::vector<Step>& steps) {
  std::map<ElementId, Smallest> least;
  for (const Step& step : steps) {
    if (step.kind != StepKind::Read || step.expected.open || !step.expected.known) continue;
    const State state{step.setting, options.stage, step.access.depth > 0, step.lifted, options.temperature};
    const Circuit circuit = circuit_of(harness, state);
    const int plugs = plugs_among(harness, step.a, step.b);
    const Margins told = margins(options.meter, step.range, step.expected.ohms, plugs);
    if (!told.open) continue;  // OL, whatever is added
    const Ohms target = told.above;
    std::map<ElementId, std::uint32_t> branch_of;
    for (std::uint32_t b = 0; b < circuit.branches.size(); ++b) branch_of[circuit.branches[b].element] = b;
    for (const Contribution& part : step.expected.through) {
      const ElementKind kind = harness[part.element].kind;
      if (kind != ElementKind::Joint && kind != ElementKind::Blob && kind != ElementKind::Contact) continue;
      const Ohms size = size_for(circuit, step, branch_of.at(part.element), target);
      if (std::isinf(size)) continue;
      const auto [known, fresh] = least.try_emplace(part.element, Smallest{part.element, size, step.number});
      if (!fresh && size < known->second.ohms) known->second = {part.element, size, step.number};
    }
  }
  std::vector<Smallest> list;
  for (const auto& [id, each] : least) list.push_back(each);
  return list;
}

}  // namespace lugwise::plan::inside
