#include <algorithm>
#include <cmath>

#include "drawing/inside/box_draughtsman.h"
#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {
namespace {

constexpr std::size_t kFewLugs = 6;  // can all be on one side
constexpr int kWidestLying = 40;     // cells
constexpr int kCable = 7;            // cells: of a plug, what is seen of it

}  // namespace

std::vector<Shape> BoxDraughtsman::draw() {
  if (part_.kind == PartKind::Jack) {
    Points lugs, plugs;
    for (PointId point : part_.points)
      (harness_[point].role == PointRole::Plug ? plugs : lugs).push_back(point);
    std::vector<Shape> ways{box(lugs, plugs)};
    std::reverse(lugs.begin(), lugs.end());
    std::reverse(plugs.begin(), plugs.end());
    ways.push_back(box(lugs, plugs));
    ways.back().stance = Stance::UpsideDown;
    return ways;
  }
  const std::vector<Points> all_poles = poles();
  Points all, left, right;
  for (const auto& pole : all_poles) all.insert(all.end(), pole.begin(), pole.end());
  std::vector<Shape> shapes;
  if (all_poles.size() > 1) {
    // Whole all_poles on either side, as even as can be.
    for (const auto& pole : all_poles) {
      auto& side = left.size() <= right.size() ? left : right;
      side.insert(side.end(), pole.begin(), pole.end());
    }
  } else if (all.size() > 2 && part_.kind == PartKind::Switch) {
    // The common lug across from the others.
    for (PointId point : all)
      (degree(point) == most_degree(all) && right.empty() ? right : left).push_back(point);
  } else {
    for (std::size_t i = 0; i < all.size(); ++i) (i < (all.size() + 1) / 2 ? left : right).push_back(all[i]);
  }
  shapes.push_back(box(left, right));
  shapes.push_back(mirrored(shapes.front()));
  shapes.back().stance = Stance::Mirrored;
  if (all.size() <= kFewLugs) {
    shapes.push_back(mirrored(box(all, {})));
    shapes.back().stance = Stance::OneSided;
  }
  if (part_.kind == PartKind::Switch) {
    Shape lies = all.size() > 2 ? lying(left, right) : lying(all, {});
    if (lies.part.width <= kWidestLying) {
      lies.stance = Stance::Lying;
      shapes.push_back(std::move(lies));
    }
  }
  return shapes;
}

std::string BoxDraughtsman::mounted_on() const {
  return part_.mounted ? "on " + harness_[*part_.mounted].name + "'s shaft" : "";
}

double BoxDraughtsman::longest_place() const {
  double longest = part_.kind == PartKind::Jack ? text_width("plug out", 11, true) : 0;
  for (const Position& position : part_.positions)
    longest = std::max(longest, std::min(text_width(position.name, 11, true), kMostName));
  return longest;
}

BoxDraughtsman::Stack BoxDraughtsman::stacked(const Points& left, const Points& right, int first_row) const {
  Stack stack;
  stack.last = first_row;
  const auto put = [&](const Points& side, bool is_left) {
    int y = first_row;
    for (PointId point : side) {
      const int count = room(point);
      stack.first[point] = y;
      stack.rows[point] = {y + double((count - 1) / 2), is_left};
      stack.last = std::max(stack.last, y + count - 1);
      y += count;
      if (harness_[point].role == PointRole::Plug) continue;
      double& label = is_left ? stack.label_left : stack.label_right;
      label = std::max(label, std::min(text_width(own_name(point), kLugSize), kMostLabel));
    }
  };
  put(left, true);
  put(right, false);
  if (part_.kind == PartKind::Jack) align_plugs(left, right, stack);
  return stack;
}

void BoxDraughtsman::align_plugs(const Points& left, const Points& right, Stack& stack) const {
  double least = 0;
  for (PointId plug : right) {
    double y = least;
    for (ElementId contact : contacts()) {
      const Element& element = harness_[contact];
      if (element.b == plug && std::count(left.begin(), left.end(), element.a))
        y = std::max(y, stack.rows[element.a].y);
    }
    stack.rows[plug].y = std::max(y, least);
    least = stack.rows[plug].y + 2;
    stack.last = std::max(stack.last, static_cast<int>(std::ceil(stack.rows[plug].y)));
  }
}

void BoxDraughtsman::write_names(double middle, const std::string& on) {
  letter(part_.name, middle, 1.5, kNameSize, Lettering::From::Middle, true, kMostName);
  if (part_.kind == PartKind::Module) {
    letter("module", middle, 2.75, kValueSize, Lettering::From::Middle);
  } else {
    place_line(middle, 2.8, Lettering::From::Middle);
  }
  if (!on.empty()) letter(on, middle, 3.9, kValueSize, Lettering::From::Middle, false, kMostName);
}

void BoxDraughtsman::draw_lugs(const Points& lugs, const Stack& stack, int edge, Side out) {
  const bool left = out == Side::Left;
  const int width = made_.part.width;
  for (PointId point : lugs) {
    const double y = stack.rows.at(point).y;
    terminal(point, {left ? 0.5 : width - 0.5, y}, {left ? 0 : width, stack.first.at(point)}, room(point),
             out, (room(point) - 1) / 2);
    letter(own_name(point), left ? 1.5 : edge - 0.5, y + 0.36, kLugSize,
           left ? Lettering::From::Start : Lettering::From::End);
  }
}

void BoxDraughtsman::draw_plugs(const Points& plugs, const Stack& stack, int edge, double inner) {
  const int width = made_.part.width;
  for (PointId point : plugs) {
    const double y = stack.rows.at(point).y;
    terminal(point, {width - 0.4, y}, {}, 0, Side::Right);
    letter(own_name(point), edge + 3.2, y - 0.45, kInsideSize, Lettering::From::Middle);
    line(point, {{inner, y}, {width - 0.4, y}});
  }
  const double top = stack.rows.at(plugs.front()).y, low = stack.rows.at(plugs.back()).y;
  outline(edge, top - 1.4, width, low + 0.6);
}

void BoxDraughtsman::draw_bars(const std::vector<Bar>& bars, Rows& rows, double inner_left,
                               double inner_right) {
  std::map<PointId, int> met;
  for (const Bar& bar : bars) {
    const double lane = bar.left ? inner_left + 2.0 * (bar.lane + 1) : inner_right - 2.0 * (bar.lane + 1);
    const auto inner = [&](PointId point) { return rows[point].left ? inner_left : inner_right; };
    line(bar.centre, {{inner(bar.centre), rows[bar.centre].y}, {lane, rows[bar.centre].y}});
    double top = rows[bar.centre].y, low = top;
    for (const auto& [contact, leaf] : bar.leaves) {
      const double y = rows[leaf].y + 0.4 * met[leaf]++;
      top = std::min(top, y);
      low = std::max(low, y);
      feature(Feature::Kind::Contact, contact, {{lane, y}, {inner(leaf), y}});
    }
    if (low > top) line(bar.centre, {{lane, top}, {lane, low}});
  }
}

Shape BoxDraughtsman::box(const Points& left, const Points& right) {
  const std::string on = mounted_on();
  const bool plugs = part_.kind == PartKind::Jack;
  Stack stack = stacked(left, right, on.empty() ? 4 : 5);
  std::vector<Bar> bars = bars_of(stack.rows);
  const auto [lanes_left, lanes_right] = give_lanes(bars);
  const double inner_left = left.empty() ? 1.5 : 1.5 + stack.label_left / kCell + 0.7;
  double span =
      2.0 * (lanes_left + lanes_right) + (lanes_left > 0 && (lanes_right > 0 || !right.empty()) ? 2 : 0);
  if (lanes_left + lanes_right == 0) span = 1.5;
  const double label_room = right.empty() || plugs ? 0 : stack.label_right / kCell + 0.7;
  const double header = std::min(text_width(part_.name, kNameSize, true), kMostName) / kCell;
  double body = inner_left + span + label_room + 0.5;
  body = std::max(body, header + 2);
  // A control's longest place must fit beneath its name.
  body = std::max(body, longest_place() / kCell + 2);
  if (!on.empty()) body = std::max(body, std::min(text_width(on, kValueSize), kMostName) / kCell + 3);
  const int edge = static_cast<int>(std::ceil(body));  // the outline's right edge
  const double inner_right = edge - label_room - 0.5;
  start(plugs ? edge + kCable : right.empty() ? edge : edge + 1, stack.last + 1);
  outline(1, 0, edge, stack.last + 1);
  write_names((1 + edge) / 2.0, on);
  draw_lugs(left, stack, edge, Side::Left);
  if (plugs) {
    draw_plugs(right, stack, edge, inner_right);
  } else {
    draw_lugs(right, stack, edge, Side::Right);
  }
  draw_bars(bars, stack.rows, inner_left, inner_right);
  return std::move(made_);
}

std::vector<Shape> box_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return BoxDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
