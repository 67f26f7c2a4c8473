#include "dictionary/inside/solution.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace lugwise::dictionary::inside {
namespace {

// Larger regions are solved by lib/network, which is slower for few places and far faster for many.
constexpr std::size_t kMostDense = 200;

}  // namespace

Solution::Solution(const Circuit& of, std::vector<PointId> at) : circuit(of), probes(std::move(at)) {
  add_corners();
  plant();
}

// The circuit at its lowest, its usual and its highest.
void Solution::add_corners() {
  std::vector<Resistor> resistors[3];
  for (std::size_t c = 0; c < 3; ++c) {
    resistors[c] = loose_resistors_at(circuit, kCorners[c]);
    for (Resistor& each : resistors[c]) each.ohms = at_least(each.ohms);
  }
  std::vector<Corners>& ohms = branches.ohms;
  ohms.resize(circuit.branches.size());
  for (std::size_t i = 0; i < ohms.size(); ++i) {
    for (std::size_t c = 0; c < 3; ++c) ohms[i][c] = resistors[c][i].ohms;
    const std::uint32_t element = circuit.branches[i].element.index;
    if (element == kNoElement) continue;
    if (element >= branches.with.size()) branches.with.resize(element + 1);
    branches.with[element].push_back(static_cast<std::uint32_t>(i));
  }
  for (const std::vector<PointId>& module : circuit.modules) {
    for (std::size_t i = 1; i < module.size(); ++i) {
      resistors[0].push_back({module[0].index, module[i].index, kLeastOhms});
      ohms.push_back({kLeastOhms, kOpen, kOpen});
    }
  }
  corner[1] = std::make_unique<Network>(circuit.points, std::move(resistors[1]));
  const auto values = [](const std::vector<Resistor>& from) {
    std::vector<double> list;
    for (const Resistor& each : from) list.push_back(each.ohms);
    return list;
  };
  corner[2] = std::make_unique<Network>(corner[1]->reweighted(values(resistors[2])));
  corner[0] = circuit.modules.empty() ? std::make_unique<Network>(corner[1]->reweighted(values(resistors[0])))
                                      : std::make_unique<Network>(circuit.points, std::move(resistors[0]));
}

// The tree of blocks.
void Solution::plant() {
  const Network& net = shape();
  for (std::uint32_t b = 0; b < net.blocks(); ++b) blocks.push_back({net.places_in(b), net.resistors_in(b)});
  up.assign(points(), kNobody);
  std::vector<std::uint32_t> depth(points());
  for (std::uint32_t p = 0; p < points(); ++p) {
    up[p] = net.above(p).value_or(kNobody);
    depth[p] = net.depth(p);
    order.push_back(p);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::uint32_t x, std::uint32_t y) { return depth[x] < depth[y]; });
}

void Solution::tabulate() const {
  if (!rows.empty()) return;
  std::vector<std::uint32_t> from, all;
  for (PointId probe : probes) from.push_back(probe.index);
  for (std::uint32_t p = 0; p < points(); ++p) all.push_back(p);
  rows.assign(from.size() * points(), Corners{kOpen, kOpen, kOpen});
  for (std::size_t c = 0; c < 3; ++c) {
    const auto table = corner[c]->all_pairs(from, all);
    for (std::size_t k = 0; k < table.size(); ++k) {
      if (table[k]) rows[k][c] = *table[k];
    }
  }
}

Solution::Region Solution::region(const Delta& delta) const {
  Region region;
  const Network& net = shape();
  const auto add_block = [&](std::uint32_t block) {
    if (std::find(region.blocks.begin(), region.blocks.end(), block) == region.blocks.end())
      region.blocks.push_back(block);
  };
  // Together the ways from the first place touched in a component to the others hold every way between two of them.
  const auto touch = [&](std::uint32_t point) {
    for (std::uint32_t root : region.roots) {
      if (root == point) return;
      if (!net.connected(root, point)) continue;
      for (const Stretch& stretch : net.way(root, point)) add_block(stretch.block);
      return;
    }
    region.roots.push_back(point);
  };
  for (const Replaced& each : delta.replaced) {
    const Resistor& resistor = net.resistors()[each.resistor];
    touch(resistor.a);
    touch(resistor.b);
  }
  for (const Added& each : delta.added) {
    touch(each.a);
    touch(each.b);
  }
  region.places = region.roots;
  for (std::uint32_t block : region.blocks) {
    for (std::uint32_t place : blocks[block].places) region.places.push_back(place);
  }
  std::sort(region.places.begin(), region.places.end());
  region.places.erase(std::unique(region.places.begin(), region.places.end()), region.places.end());
  return region;
}

std::vector<Corners> Solution::solve(const Region& region, const Delta& delta,
                                     const std::vector<std::uint32_t>& wanted) const {
  const auto seat = [&](std::uint32_t place) {
    return static_cast<std::uint32_t>(std::lower_bound(region.places.begin(), region.places.end(), place) -
                                      region.places.begin());
  };
  struct Ohmic {
    std::uint32_t a, b;
    Corners ohms;
  };
  std::vector<Ohmic> list;
  for (std::uint32_t block : region.blocks) {
    for (std::uint32_t r : blocks[block].resistors) {
      const Resistor& resistor = shape().resistors()[r];
      const auto other = std::find_if(delta.replaced.begin(), delta.replaced.end(),
                                      [&](const Replaced& each) { return each.resistor == r; });
      const Corners& here = other == delta.replaced.end() ? branches.ohms[r] : other->ohms;
      if (here == Corners{kOpen, kOpen, kOpen}) continue;
      list.push_back({seat(resistor.a), seat(resistor.b), here});
    }
  }
  for (const Added& each : delta.added) {
    if (each.a != each.b) list.push_back({seat(each.a), seat(each.b), each.ohms});
  }
  const std::size_t k = wanted.size();
  std::vector<Corners> answer(k * k, Corners{kOpen, kOpen, kOpen});
  if (region.places.size() <= kMostDense) {
    std::vector<Link> links;
    links.reserve(list.size());
    for (const Ohmic& each : list)
      links.push_back({each.a, each.b, {1 / each.ohms[0], 1 / each.ohms[1], 1 / each.ohms[2]}});
    const std::size_t n = region.places.size();
    const std::vector<Corners> table = solve_region(static_cast<std::uint32_t>(n), links);
    for (std::size_t i = 0; i < k; ++i) {
      for (std::size_t j = 0; j < k; ++j) answer[i * k + j] = table[seat(wanted[i]) * n + seat(wanted[j])];
    }
    return answer;
  }
  std::vector<std::uint32_t> seats;
  for (std::uint32_t place : wanted) seats.push_back(seat(place));
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<Resistor> resistors;
    for (const Ohmic& each : list) {
      if (!std::isinf(each.ohms[c])) resistors.push_back({each.a, each.b, each.ohms[c]});
    }
    const Network network(region.places.size(), std::move(resistors));
    for (std::size_t i = 0; i < k; ++i) {
      for (std::size_t j = 0; j < k; ++j) {
        const auto between =
            j < i ? std::optional(answer[j * k + i][c]) : network.resistance(seats[i], seats[j]);
        if (between) answer[i * k + j][c] = *between;
      }
    }
  }
  return answer;
}

}  // namespace lugwise::dictionary::inside
