#include "drawing/inside/live.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "circuit/clusters.h"
#include "expectation/corner.h"
#include "expectation/expectation.h"

namespace lugwise::drawing::inside {
namespace {

constexpr Ohms kMostOfMetal = 2;  // what shows no more is a conductor, not a part
constexpr double kShare = 0.1;    // of the current: less is not drawn as its path

// Conductors joined through parts, by the number of each conductor's cluster.
class Ways {
 public:
  void join(std::uint32_t a, std::uint32_t b) {
    if (a == b) return;
    beside_[a].insert(b);
    beside_[b].insert(a);
  }

  // Takes off what ends nowhere, from its loose end on: a coil that no contact takes up. `kept` stay.
  void drop_loose_ends(std::uint32_t kept, std::uint32_t also_kept) {
    std::vector<std::uint32_t> loose;
    const auto look_at = [&](std::uint32_t at) {
      if (at != kept && at != also_kept && beside_[at].size() == 1) loose.push_back(at);
    };
    for (const auto& [at, others] : beside_) look_at(at);
    while (!loose.empty()) {
      const std::uint32_t at = loose.back();
      loose.pop_back();
      if (beside_[at].empty()) continue;
      const std::uint32_t other = *beside_[at].begin();
      beside_[at].clear();
      beside_[other].erase(at);
      look_at(other);
    }
  }

  bool leads_on(std::uint32_t at) const {
    const auto found = beside_.find(at);
    return found != beside_.end() && !found->second.empty();
  }

 private:
  std::map<std::uint32_t, std::set<std::uint32_t>> beside_;
};

// What joins conductors for a signal, if not for a meter: a capacitor, and a module from each of its terminals to the next.
std::vector<std::pair<PointId, PointId>> for_signals(const Harness& harness, const Circuit& circuit) {
  std::vector<std::pair<PointId, PointId>> joined;
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Capacitor) joined.emplace_back(element.a, element.b);
  }
  std::map<std::uint32_t, PointId> last;
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const auto& part = harness[PointId{i}].part;
    if (!part || harness[*part].kind != PartKind::Module) continue;
    if (const auto before = last.find(part->index); before != last.end())
      joined.emplace_back(before->second, PointId{i});
    last[part->index] = PointId{i};
  }
  std::erase_if(joined,
                [&](const auto& each) { return !circuit.has(each.first) || !circuit.has(each.second); });
  return joined;
}

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
    if (!part && ohms_at(branch, Corner::Nominal) <= kMostOfMetal) metal.join(branch.a.index, branch.b.index);
  }
  const std::uint32_t hot = metal.of(tip->index), ground = metal.of(sleeve->index);
  Ways ways;
  for (const Branch& branch : circuit.branches) ways.join(metal.of(branch.a.index), metal.of(branch.b.index));
  for (const auto& [a, b] : for_signals(harness, circuit)) {
    any.join(a.index, b.index);
    ways.join(metal.of(a.index), metal.of(b.index));
  }
  ways.drop_loose_ends(hot, ground);
  std::vector<Live> live(circuit.points, Live::Dead);
  const std::uint32_t all_hot = any.of(tip->index), all_ground = any.of(sleeve->index);
  for (std::uint32_t i = 0; i < live.size(); ++i) {
    const std::uint32_t on = metal.of(i), all = any.of(i);
    if (on == hot && on == ground)
      live[i] = Live::Both;
    else if (on == hot)
      live[i] = Live::Hot;
    else if (on == ground)
      live[i] = Live::Ground;
    else if ((all == all_hot || all == all_ground) && ways.leads_on(on))
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
