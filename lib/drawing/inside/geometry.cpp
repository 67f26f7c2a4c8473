#include "drawing/inside/geometry.h"

#include <algorithm>
#include <cmath>

namespace lugwise::drawing::inside {

Spot at_cell(Cell cell) { return {cell.x * kCell, cell.y * kCell}; }

Cell toward(Side side) {
  return side == Side::Up      ? Cell{0, -1}
         : side == Side::Right ? Cell{1, 0}
         : side == Side::Down  ? Cell{0, 1}
                               : Cell{-1, 0};
}

Spot outward(const Foot& foot, double cells) {
  const Cell way = toward(foot.out);
  const Spot at = at_cell(foot.at);
  const double by = cells * kCell;
  return {at.x + way.x * by, at.y + way.y * by};
}

Box around(const std::vector<Spot>& spots, double by) {
  double left = 1e9, top = 1e9, right = -1e9, low = -1e9;
  for (const Spot& spot : spots) {
    left = std::min(left, spot.x);
    right = std::max(right, spot.x);
    top = std::min(top, spot.y);
    low = std::max(low, spot.y);
  }
  return {left - by, top - by, right - left + 2 * by, low - top + 2 * by};
}

double shared_area(const Box& a, const Box& b) {
  const double width = std::min(a.x + a.width, b.x + b.width) - std::max(a.x, b.x);
  const double height = std::min(a.y + a.height, b.y + b.height) - std::max(a.y, b.y);
  return width > 0 && height > 0 ? width * height : 0;
}

Box united(const Box& a, const Box& b) {
  const double x = std::min(a.x, b.x), y = std::min(a.y, b.y);
  return {x, y, std::max(a.x + a.width, b.x + b.width) - x, std::max(a.y + a.height, b.y + b.height) - y};
}

Spot half_way(const std::vector<Spot>& path) {
  double length = 0;
  for (std::size_t i = 1; i < path.size(); ++i)
    length += std::hypot(path[i].x - path[i - 1].x, path[i].y - path[i - 1].y);
  double left = length / 2;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const double here = std::hypot(path[i].x - path[i - 1].x, path[i].y - path[i - 1].y);
    if (here >= left && here > 0) {
      const double t = left / here;
      return {path[i - 1].x + t * (path[i].x - path[i - 1].x),
              path[i - 1].y + t * (path[i].y - path[i - 1].y)};
    }
    left -= here;
  }
  return path.empty() ? Spot{} : path.front();
}

}  // namespace lugwise::drawing::inside
