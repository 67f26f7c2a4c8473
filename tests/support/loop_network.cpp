#include "support/loop_network.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lugwise::test {

LoopNetwork::LoopNetwork(std::size_t points, const std::vector<Resistor>& resistors)
    : root_(points), above_(points), depth_(points, 0), ohms_(points, 0) {
  std::vector<std::uint32_t> order(resistors.size());
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(),
            [&](auto x, auto y) { return resistors[x].ohms < resistors[y].ohms; });

  // The tree, resistor by resistor (Kruskal): of two parts that meet, every point of one gets the other's label.
  std::vector<std::vector<std::uint32_t>> members(points);
  for (std::uint32_t i = 0; i < points; ++i) {
    root_[i] = above_[i] = i;
    members[i] = {i};
  }
  std::vector<std::vector<std::uint32_t>> at(points);  // tree resistors
  std::vector<std::uint32_t> left_over;
  for (const std::uint32_t index : order) {
    const Resistor& resistor = resistors[index];
    std::uint32_t keeps = root_[resistor.a];
    std::uint32_t joins = root_[resistor.b];
    if (keeps == joins) {
      // A loop without any ohms carries no power, whatever its current.
      if (resistor.ohms > 0) left_over.push_back(index);
      continue;
    }
    if (members[keeps].size() < members[joins].size()) std::swap(keeps, joins);
    for (const std::uint32_t point : members[joins]) root_[point] = keeps;
    members[keeps].insert(members[keeps].end(), members[joins].begin(), members[joins].end());
    at[resistor.a].push_back(index);
    at[resistor.b].push_back(index);
  }
  std::vector<std::uint32_t> queue;
  for (std::uint32_t i = 0; i < points; ++i) {
    if (root_[i] == i) queue.push_back(i);
  }
  for (std::size_t k = 0; k < queue.size(); ++k) {
    const std::uint32_t point = queue[k];
    for (const std::uint32_t index : at[point]) {
      const std::uint32_t next = resistors[index].a == point ? resistors[index].b : resistors[index].a;
      if (next == above_[point]) continue;
      above_[next] = point;
      depth_[next] = depth_[point] + 1;
      ohms_[next] = resistors[index].ohms;
      queue.push_back(next);
    }
  }

  const std::size_t loops = left_over.size();
  for (const std::uint32_t index : left_over) loops_.push_back(way(resistors[index].a, resistors[index].b));
  factor_.assign(loops * loops, 0);
  std::vector<double> lost(points, 0);
  for (std::size_t i = 0; i < loops; ++i) {
    for (const Edge& edge : loops_[i]) lost[edge.below] = edge.sign * ohms_[edge.below];
    for (std::size_t j = 0; j <= i; ++j) {
      double shared = i == j ? resistors[left_over[i]].ohms : 0;
      for (const Edge& edge : loops_[j]) shared += edge.sign * lost[edge.below];
      for (std::size_t k = 0; k < j; ++k) shared -= factor_[i * loops + k] * factor_[j * loops + k];
      factor_[i * loops + j] = i == j ? std::sqrt(shared) : shared / factor_[j * loops + j];
    }
    for (const Edge& edge : loops_[i]) lost[edge.below] = 0;
  }
}

std::vector<LoopNetwork::Edge> LoopNetwork::way(std::uint32_t a, std::uint32_t b) const {
  std::vector<Edge> edges;
  while (a != b) {
    if (depth_[a] >= depth_[b]) {
      edges.push_back({a, 1});
      a = above_[a];
    } else {
      edges.push_back({b, -1});
      b = above_[b];
    }
  }
  return edges;
}

std::optional<double> LoopNetwork::resistance(std::uint32_t a, std::uint32_t b) const {
  if (root_[a] != root_[b]) return std::nullopt;
  std::vector<double> lost(ohms_.size(), 0);
  double ohms = 0;
  for (const Edge& edge : way(a, b)) {
    lost[edge.below] = edge.sign * ohms_[edge.below];
    ohms += ohms_[edge.below];
  }
  const std::size_t loops = loops_.size();
  std::vector<double> spared(loops);
  for (std::size_t i = 0; i < loops; ++i) {
    double shared = 0;
    for (const Edge& edge : loops_[i]) shared += edge.sign * lost[edge.below];
    for (std::size_t k = 0; k < i; ++k) shared -= factor_[i * loops + k] * spared[k];
    spared[i] = shared / factor_[i * loops + i];
    ohms -= spared[i] * spared[i];
  }
  return ohms;
}

}  // namespace lugwise::test
