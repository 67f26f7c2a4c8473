#include "expectation/inside/passage.h"

#include <utility>

#include "expectation/corner.h"

namespace lugwise::expectation::inside {

Network highest(const Circuit& circuit, Modules modules) {
  return network_at(circuit, loose_resistors_at(circuit, Corner::High), modules);
}

Way way_between(const Circuit& circuit, const Network& network, PointId a, PointId b, Modules modules) {
  std::vector<char> passed(network.resistors().size(), 0);  // by block
  for (std::uint32_t block : network.blocks_between(a.index, b.index)) passed[block] = 1;

  constexpr std::uint32_t kNone = ~0U;
  std::vector<std::uint32_t> point(circuit.points, kNone);
  std::vector<std::uint32_t> travel(circuit.travels.size(), kNone);
  Way way;
  const auto point_on_way = [&](PointId id) {
    if (point[id.index] == kNone) point[id.index] = static_cast<std::uint32_t>(way.circuit.points++);
    return PointId{point[id.index]};
  };
  way.a = point_on_way(a).index;
  way.b = point_on_way(b).index;
  way.ceiling = *network.resistance(a.index, b.index);
  for (std::uint32_t i = 0; i < circuit.branches.size(); ++i) {
    const auto block = network.block(i);
    if (block ? !passed[*block] : network.resistors()[i].ohms > 0) continue;
    Branch branch = circuit.branches[i];
    branch.a = point_on_way(branch.a);
    branch.b = point_on_way(branch.b);
    if (branch.travel) {
      std::uint32_t& number = travel[*branch.travel];
      if (number == kNone) {
        number = static_cast<std::uint32_t>(way.circuit.travels.size());
        way.circuit.travels.push_back(circuit.travels[*branch.travel]);
        way.travels.push_back(*branch.travel);
      }
      branch.travel = number;
    }
    way.circuit.branches.push_back(std::move(branch));
  }
  if (modules == Modules::Apart) return way;
  for (const std::vector<PointId>& module : circuit.modules) {
    way.circuit.modules.emplace_back();
    for (PointId id : module) way.circuit.modules.back().push_back(point_on_way(id));
  }
  return way;
}

}  // namespace lugwise::expectation::inside
