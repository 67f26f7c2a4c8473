#include "plan/inside/gap.h"

#include <numeric>
#include <utility>

#include "circuit/clusters.h"

namespace lugwise::plan::inside {

std::vector<double> all_pairs(const Network& network, const std::vector<std::uint32_t>& points) {
  std::vector<double> ohms;
  ohms.reserve(points.size() * points.size());
  for (const std::optional<double>& each : network.all_pairs(points)) ohms.push_back(each.value_or(kOpen));
  return ohms;
}

// At its lowest a circuit is a few coils and tracks between a few places: all else is nothing and makes points one.
std::optional<std::size_t> Gaps::of(std::uint32_t branch) {
  const auto [known, fresh] = numbers_.try_emplace(branch, std::nullopt);
  if (!fresh) return known->second;
  const std::vector<std::uint32_t> group = groups_without(branch, By::NoOhms);
  const std::uint32_t from = group[lowest_[branch].a];
  const std::uint32_t to = group[lowest_[branch].b];
  if (from == to) return std::nullopt;
  std::vector<std::uint32_t> number(circuit_.points, ~0U);
  std::uint32_t places = 0;
  const auto take = [&](std::uint32_t at) {
    if (number[at] == ~0U) number[at] = places++;
  };
  Gap gap;
  for (std::uint32_t probe : probes_) {
    take(group[probe]);
    gap.place.push_back(number[group[probe]]);
  }
  take(from);
  take(to);
  gap.places = places;
  std::vector<Resistor> few;
  for (std::uint32_t b = 0; b < lowest_.size(); ++b) {
    if (b == branch || lowest_[b].ohms == 0) continue;
    for (std::uint32_t end : {lowest_[b].a, lowest_[b].b}) take(group[end]);
    few.push_back({number[group[lowest_[b].a]], number[group[lowest_[b].b]], lowest_[b].ohms});
  }
  std::vector<std::uint32_t> asked(gap.places);
  std::iota(asked.begin(), asked.end(), 0U);
  gap.least = all_pairs(Network(places, std::move(few)), asked);
  gap.round = gap.least[number[from] * gap.places + number[to]];
  known->second = gaps_.size();
  gaps_.push_back(std::move(gap));
  return known->second;
}

std::vector<char> Gaps::sides_of_cut(std::uint32_t branch) const {
  const std::vector<std::uint32_t> group = groups_without(branch, By::Anything);
  const std::uint32_t here = group[circuit_.branches[branch].a.index];
  std::vector<char> side;
  for (std::uint32_t probe : probes_) side.push_back(group[probe] == here ? 1 : 0);
  return side;
}

// Which points are still together without a branch.
std::vector<std::uint32_t> Gaps::groups_without(std::uint32_t skip, By by) const {
  Clusters clusters(circuit_.points);
  for (std::uint32_t b = 0; b < lowest_.size(); ++b) {
    if (b == skip || (by == By::NoOhms && lowest_[b].ohms != 0)) continue;
    clusters.join(lowest_[b].a, lowest_[b].b);
  }
  for (const auto& module : circuit_.modules) {
    for (PointId point : module) clusters.join(point.index, module.front().index);
  }
  return clusters.of_each();
}

}  // namespace lugwise::plan::inside
