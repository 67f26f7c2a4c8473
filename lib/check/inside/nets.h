// Which points are one net: sets of points that grow together.
#pragma once

#include <cstdint>
#include <numeric>
#include <utility>
#include <vector>

#include "harness/id.h"

namespace lugwise::check::inside {

class Nets {
 public:
  explicit Nets(std::size_t points) : parent_(points), size_(points, 1) {
    std::iota(parent_.begin(), parent_.end(), 0U);
  }

  // A point's net, named by one of its points; the name lasts until the next join.
  std::uint32_t of(PointId point) const {
    std::uint32_t at = point.index;
    while (parent_[at] != at) at = parent_[at];
    return at;
  }

  // Every point names its net at once: for many questions and no more joins.
  void settle() {
    for (std::uint32_t point = 0; point < parent_.size(); ++point) parent_[point] = of(PointId{point});
  }

  bool one(PointId a, PointId b) const { return of(a) == of(b); }

  void join(PointId a, PointId b) {
    std::uint32_t large = of(a);
    std::uint32_t small = of(b);
    if (large == small) return;
    if (size_[large] < size_[small]) std::swap(large, small);  // keeps every way to a net's name short
    parent_[small] = large;
    size_[large] += size_[small];
  }

 private:
  std::vector<std::uint32_t> parent_;
  std::vector<std::uint32_t> size_;
};

}  // namespace lugwise::check::inside
