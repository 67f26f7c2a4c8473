#include <algorithm>
#include <cmath>

#include "drawing/inside/placer.h"

namespace lugwise::drawing::inside {
namespace {

// How many cells a millimetre may be, and how large all may become.
constexpr double kLeastScale = 0.2, kMostScale = 1.5;
constexpr double kWidestMeasured = 150;  // cells

// What a cluster covers.
struct Taken {
  int x, y, right, low;
};

// How far a cluster's top must go down from `y` to lie clear of all these.
int lowered(const std::vector<Taken>& taken, const Taken& own, int gap) {
  const int height = own.low - own.y;
  int y = own.y;
  for (bool moved = true; moved;) {
    moved = false;
    for (const Taken& other : taken) {
      const bool apart = own.x >= other.right + gap || other.x >= own.right + gap ||
                         y >= other.low + kRowGap || other.y >= y + height + kRowGap;
      if (apart) continue;
      y = other.low + kRowGap;
      moved = true;
    }
  }
  return y;
}

}  // namespace

std::vector<Placer::Lie> Placer::lies() const {
  std::vector<Lie> lies;
  for (std::size_t p = 0; p < shapes_.size(); ++p) {
    if (!is_measured(p)) continue;
    const Cluster cluster = cluster_of(p);
    const Cell own = cluster.members.front().second;
    const int left = own.x + shape(p).width / 2, up = own.y + shape(p).height / 2;
    lies.push_back(
        {p, places_.of(p)->x, places_.of(p)->y, left, up, cluster.width - left, cluster.height - up});
  }
  return lies;
}

double Placer::scale_of(const std::vector<Lie>& lies) const {
  double scale = kLeastScale, wide = 1, high = 1;
  for (const Lie& a : lies) {
    for (const Lie& b : lies) {
      const double dx = b.x - a.x, dy = b.y - a.y;
      wide = std::max(wide, dx);
      high = std::max(high, dy);
      if (dx < 0 || a.part == b.part) continue;
      const double across = dx > 0 ? (a.right + b.left + gap()) / dx : kMostScale;
      const double along = dy > 0   ? (a.down + b.up + kRowGap + room_) / dy
                           : dy < 0 ? (b.down + a.up + kRowGap + room_) / -dy
                                    : kMostScale;
      scale = std::max(scale, std::min({across, along, kMostScale}));
    }
  }
  return std::min({scale, kWidestMeasured / wide, kWidestMeasured / high});
}

Placer::Block Placer::measured() const {
  std::vector<Lie> parts = lies();
  if (parts.empty()) return {};
  const double scale = scale_of(parts);
  std::stable_sort(parts.begin(), parts.end(),
                   [](const Lie& a, const Lie& b) { return std::pair(a.y, a.x) < std::pair(b.y, b.x); });
  std::vector<Taken> taken;
  Block block;
  int least_x = 0, least_y = 0;
  for (const Lie& lie : parts) {
    const int x = static_cast<int>(std::floor(lie.x * scale + 0.5)) - lie.left;
    const int wished = static_cast<int>(std::floor(lie.y * scale + 0.5)) - lie.up;
    const int width = lie.left + lie.right, height = lie.up + lie.down;
    const int y = lowered(taken, {x, wished, x + width, wished + height}, gap());
    taken.push_back({x, y, x + width, y + height});
    block.corners.push_back({lie.part, {x, y}});
    least_x = taken.size() == 1 ? x : std::min(least_x, x);
    least_y = taken.size() == 1 ? y : std::min(least_y, y);
  }
  for (auto& [p, corner] : block.corners) corner = {corner.x - least_x, corner.y - least_y};
  for (const Taken& each : taken) {
    block.width = std::max(block.width, each.right - least_x);
    block.height = std::max(block.height, each.low - least_y);
  }
  return block;
}

}  // namespace lugwise::drawing::inside
