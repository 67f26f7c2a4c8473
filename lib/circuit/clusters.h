// Which points of a circuit hang together?
#pragma once

#include <cstddef>
#include <cstdint>
#include <numeric>
#include <vector>

#include "harness/id.h"

namespace lugwise {

// Each point, by its index, is a cluster by itself until it is joined.
class Clusters {
 public:
  explicit Clusters(std::size_t points) : above_(points) { std::iota(above_.begin(), above_.end(), 0U); }

  // One of its points, the same for all of them.
  std::uint32_t of(std::uint32_t point) {
    while (above_[point] != point) point = above_[point] = above_[above_[point]];
    return point;
  }

  void join(std::uint32_t a, std::uint32_t b) { above_[of(a)] = of(b); }
  bool together(std::uint32_t a, std::uint32_t b) { return of(a) == of(b); }

  std::uint32_t of(PointId point) { return of(point.index); }
  void join(PointId a, PointId b) { join(a.index, b.index); }
  bool together(PointId a, PointId b) { return together(a.index, b.index); }

  // By point, the cluster it is in.
  std::vector<std::uint32_t> of_each() {
    std::vector<std::uint32_t> clusters(above_.size());
    for (std::uint32_t i = 0; i < clusters.size(); ++i) clusters[i] = of(i);
    return clusters;
  }

 private:
  std::vector<std::uint32_t> above_;
};

}  // namespace lugwise
