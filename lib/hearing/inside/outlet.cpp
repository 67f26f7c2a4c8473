#include "hearing/inside/outlet.h"

#include <algorithm>

#include "circuit/clusters.h"

namespace lugwise::hearing::inside {
namespace {

// What a sound ground path has at most from end to end.
constexpr Ohms kGround = 10;

}  // namespace

std::vector<Outlet> outlets_of(const Harness& harness, const Circuit& circuit) {
  std::vector<Outlet> outlets;
  for (const Part& part : harness.parts()) {
    if (part.kind != PartKind::Jack) continue;
    const auto sleeve = harness.find_point(part.name + ".plug-sleeve");
    if (!sleeve || !circuit.has(*sleeve)) continue;
    for (const char* contact : {".plug-tip", ".plug-ring"}) {
      const auto tip = harness.find_point(part.name + contact);
      if (tip && circuit.has(*tip)) outlets.push_back({*tip, *sleeve});
    }
  }
  return outlets;
}

std::vector<char> ground_of(const Circuit& circuit, const std::vector<Outlet>& outlets) {
  Clusters clusters(circuit.points);
  for (const Branch& branch : circuit.branches) {
    if (nominal_ohms(branch) < kGround) clusters.join(branch.a.index, branch.b.index);
  }
  std::vector<char> ground(circuit.points, 0);
  for (std::uint32_t i = 0; i < circuit.points; ++i) {
    ground[i] = std::any_of(outlets.begin(), outlets.end(),
                            [&](const Outlet& outlet) { return clusters.together(i, outlet.sleeve.index); });
  }
  return ground;
}

bool parts_supply(const Harness& harness, const Circuit& sound, const Circuit& faulty) {
  std::vector<PointId> points;
  for (const Part& part : harness.parts()) {
    if (part.kind == PartKind::Module || part.kind == PartKind::Battery)
      points.insert(points.end(), part.points.begin(), part.points.end());
  }
  for (const Outlet& outlet : outlets_of(harness, sound)) points.push_back(outlet.sleeve);
  Clusters before(sound.points), after(faulty.points);
  for (const Branch& branch : sound.branches) {
    if (nominal_ohms(branch) < kGround) before.join(branch.a.index, branch.b.index);
  }
  for (const Branch& branch : faulty.branches) {
    if (nominal_ohms(branch) < kGround) after.join(branch.a.index, branch.b.index);
  }
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const std::uint32_t a = points[i].index, b = points[j].index;
      if (before.together(a, b) != after.together(a, b)) return true;
    }
  }
  return false;
}

}  // namespace lugwise::hearing::inside
