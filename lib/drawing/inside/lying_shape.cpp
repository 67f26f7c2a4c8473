#include <algorithm>
#include <cmath>

#include "drawing/inside/box_draughtsman.h"
#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {

Shape BoxDraughtsman::lying(const Points& above, const Points& below) {
  const std::string on = mounted_on();
  Rows rows;  // here `y` is how far to the right, and `left` is above
  std::map<PointId, int> first;
  int right = 2;
  const auto stack = [&](const Points& side, bool is_above, int x) {
    for (PointId point : side) {
      const double label = std::min(text_width(own_name(point), kLugSize), kMostLabel);
      const int pitch = std::max(room(point), cells(label + 10));
      first[point] = x + (pitch - room(point)) / 2;
      rows[point] = {first[point] + double((room(point) - 1) / 2), is_above};
      x += pitch;
    }
    right = std::max(right, x);
  };
  double title = std::max(text_width(shortened(part_.name, kNameSize, kMostName, true), kNameSize, true),
                          longest_place() * 1.0);
  if (!on.empty()) title = std::max(title, std::min(text_width(on, kValueSize), kMostName));
  stack(above, true, 2);
  // A common lug across from the others has its bar beside the name.
  const bool across =
      std::any_of(below.begin(), below.end(), [&](PointId point) { return meets_any(point, above); });
  const int beside = across ? 2 + cells(title + 8) : 2;
  stack(below, false, beside);
  if (!across) right = std::max(right, 2 + cells(title + 8));

  std::vector<Bar> bars = bars_of(rows);
  for (Bar& bar : bars) {
    // The bar lies beside what meets it.
    bar.left = std::any_of(bar.leaves.begin(), bar.leaves.end(),
                           [&](const auto& leaf) { return rows[leaf.second].left; });
  }
  const auto [lanes_above, lanes_below] = give_lanes(bars);
  const double inner_above = above.empty() ? 1.4 : 2.6;
  const double upper = inner_above + 2.0 * lanes_above, name = upper + 1.7;
  const double lower = name + (on.empty() ? 1.8 : 3.0), inner_below = lower + 2.0 * lanes_below;
  const int edge = static_cast<int>(std::ceil(inner_below + (below.empty() ? 0 : 1.4)));
  start(right, below.empty() ? edge : edge + 1);
  outline(1, 1, right, edge);
  const double middle = across ? 2 + title / 2 / kCell : (1.0 + right) / 2;
  letter(part_.name, middle, name, kNameSize, Lettering::From::Middle, true, kMostName);
  place_line(middle, name + 1.25, Lettering::From::Middle);
  if (!on.empty()) letter(on, middle, name + 2.4, kValueSize, Lettering::From::Middle, false, kMostName);
  for (const auto& [point, row] : rows) {
    const double y = row.left ? 0.5 : made_.part.height - 0.5;
    terminal(point, {row.y, y}, {first[point], row.left ? 0 : made_.part.height}, room(point),
             row.left ? Side::Up : Side::Down, (room(point) - 1) / 2);
    letter(own_name(point), row.y, row.left ? 2.15 : edge - 0.4, kLugSize, Lettering::From::Middle);
  }
  draw_lying_bars(bars, rows, inner_above, inner_below);
  return std::move(made_);
}

void BoxDraughtsman::draw_lying_bars(const std::vector<Bar>& bars, Rows& rows, double inner_above,
                                     double inner_below) {
  std::map<PointId, int> met;
  for (const Bar& bar : bars) {
    const double lane = bar.left ? inner_above + 2.0 * (bar.lane + 1) : inner_below - 2.0 * (bar.lane + 1);
    const auto inner = [&](PointId point) { return rows[point].left ? inner_above : inner_below; };
    const double own = rows[bar.centre].y;
    line(bar.centre, {{own, inner(bar.centre)}, {own, lane}});
    double from = own, to = own;
    for (const auto& [contact, leaf] : bar.leaves) {
      const double x = rows[leaf].y + 0.4 * met[leaf]++;
      from = std::min(from, x);
      to = std::max(to, x);
      feature(Feature::Kind::Contact, contact, {{x, lane}, {x, inner(leaf)}});
    }
    if (to > from) line(bar.centre, {{from, lane}, {to, lane}});
  }
}

}  // namespace lugwise::drawing::inside
