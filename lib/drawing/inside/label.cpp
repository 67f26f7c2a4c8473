#include "drawing/inside/label.h"

#include <algorithm>
#include <cmath>

#include "drawing/inside/geometry.h"
#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kHalfWire = 2.6;

Box grown(const Box& box, double by) {
  return {box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by};
}

}  // namespace

void LabelPlacer::avoid(std::size_t strand, const std::vector<Spot>& path) {
  for (std::size_t i = 1; i < path.size(); ++i) {
    const Spot a = path[i - 1], b = path[i];
    const Box box{std::min(a.x, b.x) - kHalfWire, std::min(a.y, b.y) - kHalfWire,
                  std::abs(a.x - b.x) + 2 * kHalfWire, std::abs(a.y - b.y) + 2 * kHalfWire};
    stretches_.push_back({strand, a, b, box});
  }
}

bool LabelPlacer::free_for(const Box& box, const Stretch& own) const {
  if (box.x < page_.x || box.y < page_.y || box.x + box.width > page_.x + page_.width ||
      box.y + box.height > page_.y + page_.height)
    return false;
  for (const Box& taken : taken_) {
    if (taken.meets(box)) return false;
  }
  for (const Stretch& other : stretches_) {
    if (&other != &own && other.box.meets(box)) return false;
  }
  return true;
}

bool LabelPlacer::is_free(const Box& box) const {
  if (box.x < page_.x || box.y < page_.y || box.x + box.width > page_.x + page_.width ||
      box.y + box.height > page_.y + page_.height)
    return false;
  return overlap(box) == 0;
}

double LabelPlacer::overlap(const Box& box) const {
  double sum = 0;
  for (const Box& taken : taken_) sum += shared_area(taken, box);
  for (const Stretch& stretch : stretches_) sum += 0.4 * shared_area(stretch.box, box);
  return sum;
}

bool LabelPlacer::place(const std::vector<std::size_t>& strands, const std::string& text, double size,
                        Lettering& made) {
  const double width = text_width(text, size);
  double best = 1e18;
  for (const Stretch& stretch : stretches_) {
    if (std::find(strands.begin(), strands.end(), stretch.strand) == strands.end()) continue;
    const bool across = stretch.a.y == stretch.b.y;
    const double length = std::abs(stretch.a.x - stretch.b.x) + std::abs(stretch.a.y - stretch.b.y);
    const double slack = length - width - 12;
    if (slack < 0) continue;
    const Spot mid{(stretch.a.x + stretch.b.x) / 2, (stretch.a.y + stretch.b.y) / 2};
    for (double off = 0; off <= slack / 2; off += 2.5) {
      for (double way : {-1.0, 1.0}) {
        Lettering one;
        one.text = text;
        one.size = size;
        one.upright = !across;
        one.at = across ? Spot{mid.x + way * off, mid.y + 0.34 * size}
                        : Spot{mid.x + 0.34 * size, mid.y + way * off};
        const double price = off + (across ? 0 : 60) - 0.1 * length;
        if (price >= best) continue;
        const Box box = box_of(one);
        if (!free_for(across ? Box{box.x - 3, box.y, box.width + 6, box.height}
                             : Box{box.x, box.y - 3, box.width, box.height + 6},
                      stretch))
          continue;
        best = price;
        made = one;
      }
    }
  }
  if (best > 1e17) return false;
  taken_.push_back(grown(box_of(made), 1));
  return true;
}

bool LabelPlacer::place_tag(const std::vector<std::size_t>& strands, double radius, Spot& made) {
  double best = 1e18;
  for (const Stretch& stretch : stretches_) {
    if (std::find(strands.begin(), strands.end(), stretch.strand) == strands.end()) continue;
    const double length = std::abs(stretch.a.x - stretch.b.x) + std::abs(stretch.a.y - stretch.b.y);
    if (length < 1) continue;
    const Spot mid{(stretch.a.x + stretch.b.x) / 2, (stretch.a.y + stretch.b.y) / 2};
    const Spot along{(stretch.b.x - stretch.a.x) / length, (stretch.b.y - stretch.a.y) / length};
    for (double off = 0; off <= length / 2 - 2; off += 2.5) {
      for (double way : {-1.0, 1.0}) {
        const Spot at{mid.x + way * off * along.x, mid.y + way * off * along.y};
        const double price = off - 0.1 * length;
        if (price >= best) continue;
        // It may cover a neighbouring stretch of its own wire, at a bend.
        const Box box{at.x - radius, at.y - radius, 2 * radius, 2 * radius};
        if (box.x < page_.x || box.y < page_.y || box.x + box.width > page_.x + page_.width ||
            box.y + box.height > page_.y + page_.height)
          continue;
        bool free =
            std::none_of(taken_.begin(), taken_.end(), [&](const Box& taken) { return taken.meets(box); });
        for (const Stretch& other : stretches_)
          free = free && (other.strand == stretch.strand || !other.box.meets(box));
        if (!free) continue;
        best = price;
        made = at;
      }
    }
  }
  if (best > 1e17) return false;
  taken_.push_back({made.x - radius, made.y - radius, 2 * radius, 2 * radius});
  return true;
}

bool LabelPlacer::place_beside(const std::vector<std::size_t>& strands, double radius, Spot& made, Spot& on) {
  constexpr Spot kWays[] = {{1, 0},     {-1, 0},     {0, 1},      {0, -1},
                            {0.8, 0.6}, {-0.8, 0.6}, {0.8, -0.6}, {-0.8, -0.6}};
  for (double far = radius + 6; far < 70; far += 4) {
    for (const Stretch& stretch : stretches_) {
      if (std::find(strands.begin(), strands.end(), stretch.strand) == strands.end()) continue;
      const Spot mid{(stretch.a.x + stretch.b.x) / 2, (stretch.a.y + stretch.b.y) / 2};
      for (const Spot& way : kWays) {
        const Spot at{mid.x + far * way.x, mid.y + far * way.y};
        const Box box{at.x - radius, at.y - radius, 2 * radius, 2 * radius};
        if (!is_free(box)) continue;
        made = at;
        on = mid;
        taken_.push_back(box);
        return true;
      }
    }
  }
  return false;
}

}  // namespace lugwise::drawing::inside
