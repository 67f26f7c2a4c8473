#include "drawing/inside/live.h"

#include <algorithm>
#include <cmath>

#include "circuit/clusters.h"
#include "expectation/corner.h"
#include "expectation/expectation.h"

namespace lugwise::drawing::inside {
namespace {

constexpr Ohms kMetal = 2;      // what shows no more is a conductor, not a part
constexpr double kShare = 0.1;  // of the current: less is not drawn as its path

}  // namespace

std::vector<Live> live_points(const Harness& harness, const Circuit& circuit,
                              std::optional<std::size_t> stage) {
  std::optional<PointId> tip, sleeve;
  for (std::uint32_t p = 0; p < harness.parts().size(); ++p) {
    const Part& part = harness[PartId{p}];
    if (part.kind != PartKind::Jack || tip) continue;
    if (stage) {
      const auto& without = harness.stages()[*stage].without;
      if (std::find(without.begin(), without.end(), PartId{p}) != without.end()) continue;
    }
    tip = harness.find_point(part.name + ".plug-tip");
    sleeve = harness.find_point(part.name + ".plug-sleeve");
    if (tip && !circuit.has(*tip)) {  // the plug is out: its contacts stand for it
      tip = harness.find_point(part.name + ".tip");
      sleeve = harness.find_point(part.name + ".sleeve");
    }
  }
  if (!tip || !sleeve) return {};
  Clusters metal(circuit.points), any(circuit.points);
  for (const Branch& branch : circuit.branches) {
    any.join(branch.a.index, branch.b.index);
    const ElementKind kind = harness[branch.element].kind;
    const bool part =
        kind == ElementKind::Coil || kind == ElementKind::Resistor || kind == ElementKind::Track;
    if (!part && ohms_at(branch, Corner::Nominal) <= kMetal) metal.join(branch.a.index, branch.b.index);
  }
  std::vector<Live> live(circuit.points, Live::Dead);
  const std::uint32_t hot = metal.of(tip->index), ground = metal.of(sleeve->index);
  const std::uint32_t all_hot = any.of(tip->index), all_ground = any.of(sleeve->index);
  for (std::uint32_t i = 0; i < live.size(); ++i) {
    const std::uint32_t on = metal.of(i), all = any.of(i);
    if (on == hot && on == ground)
      live[i] = Live::Both;
    else if (on == hot)
      live[i] = Live::Hot;
    else if (on == ground)
      live[i] = Live::Ground;
    else if (all == all_hot || all == all_ground)
      live[i] = Live::Through;
  }
  return live;
}

Path path_between(const Harness& harness, const Circuit& circuit, PointId a, PointId b) {
  Path path;
  path.elements.assign(harness.elements().size(), 0);
  path.points.assign(harness.points().size(), 0);
  if (a == b || !circuit.has(a) || !circuit.has(b)) return path;
  const Expected expected = expect(circuit, a, b);
  path.open = expected.open || expected.unlimited;
  if (path.open) return path;
  for (const Contribution& one : expected.through) {
    if (one.own <= 0 || one.element.index >= path.elements.size()) continue;
    if (std::sqrt(std::max(0.0, one.ohms / one.own)) < kShare) continue;
    path.elements[one.element.index] = 1;
  }
  for (const Branch& branch : circuit.branches) {
    if (branch.element.index < path.elements.size() && path.elements[branch.element.index])
      path.points[branch.a.index] = path.points[branch.b.index] = 1;
  }
  return path;
}

}  // namespace lugwise::drawing::inside
