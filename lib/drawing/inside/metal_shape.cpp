#include "drawing/inside/draughtsman.h"

#include <algorithm>
#include <numeric>
#include <utility>

#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {
namespace {

class MetalDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw() { return {metal(), upside_down(metal())}; }

 private:
  Shape metal() {
    std::vector<int> widths;
    for (PointId point : part_.points) {
      const double label = std::min(text_width(own_name(point), kLugSize), kMostLabel);
      widths.push_back(std::max({cells(label) + 1, std::max(kOuterRoom, sites(point)) + 1, 4}));
    }
    const int total = std::accumulate(widths.begin(), widths.end(), 0);
    const int name = cells(std::min(text_width(part_.name, kNameSize, true), kMostName)) + 1;
    start(std::max(total, name), 5);
    if (name > total) widths.back() += name - total;
    outline(0, 0.4, made_.part.width, 5);
    int x = 0;
    std::optional<PointId> before;
    for (std::size_t i = 0; i < part_.points.size(); ++i) {
      const PointId point = part_.points[i];
      const double middle = x + widths[i] / 2.0;
      const int count = std::max(kOuterRoom, sites(point));
      const int first = x + (widths[i] - count + 1) / 2;
      terminal(point, {middle, 1.1}, {first, 1}, count, Side::Up, count / 2);
      letter(own_name(point), middle, 2.7, kLugSize, Lettering::From::Middle);
      for (int k = 0; k < count; ++k) free(first + k, 0, true);
      if (before) {
        feature(Feature::Kind::Butt, element_of(ElementKind::Contact, *before, point),
                {{double(x), 0.4}, {double(x), 3.0}});
      }
      before = point;
      x += widths[i];
    }
    letter(part_.name, made_.part.width / 2.0, 4.35, kNameSize, Lettering::From::Middle, true, kMostName);
    return std::move(made_);
  }
};

}  // namespace

std::vector<Shape> metal_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return MetalDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
