#include "record/presence.h"

#include <fmt/format.h>

#include <algorithm>

namespace lugwise {

std::string why_absent(const Harness& harness, const Circuit& circuit, std::optional<std::size_t> stage,
                       PointId point) {
  if (circuit.has(point)) return {};
  const Point& at = harness[point];
  if (at.role == PointRole::Plug) {
    const bool there = !stage || !at.part ||
                       std::count(harness.stages()[*stage].without.begin(),
                                  harness.stages()[*stage].without.end(), *at.part) == 0;
    if (there) return fmt::format("'{}' can't be probed with the plug out", at.name);
  }
  return fmt::format("'{}' isn't there at stage '{}'", at.name, stage ? harness.stages()[*stage].name : "");
}

std::string why_absent(const Harness& harness, const Observation& seen, std::optional<std::size_t> stage) {
  const Circuit circuit = circuit_of(harness, state_of(seen, stage, {}));
  for (PointId point : {seen.a, seen.b}) {
    if (std::string why = why_absent(harness, circuit, stage, point); !why.empty()) return why;
  }
  return {};
}

Observation observation_between(const Harness& harness, PointId a, PointId b, const Setting& setting,
                                const std::vector<PointId>& lifted, std::optional<std::size_t> stage) {
  Observation seen;
  seen.a = a;
  seen.b = b;
  seen.setting = setting;
  seen.lifted = lifted;
  seen.access = access_for(harness, {a, b}, lifted, stage);
  return seen;
}

Access access_for(const Harness& harness, const std::vector<PointId>& points,
                  const std::vector<PointId>& lifted, std::optional<std::size_t> stage) {
  Access deepest = accesses(harness, stage).front();
  const auto need = [&](PointId point) {
    const Access access = access_to(harness, point, stage).value_or(Access{1, "cavity"});
    if (access.depth > deepest.depth) deepest = access;
  };
  for (PointId point : points) need(point);
  for (PointId point : lifted) need(point);
  return deepest;
}

}  // namespace lugwise
