#include "drawing/inside/draughtsman.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {
namespace {

constexpr std::size_t kFewLugs = 6;  // can all be on one side
constexpr int kWidestLying = 40;     // cells

class BoxDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw() {
    if (part_.kind == PartKind::Jack) {
      std::vector<PointId> lugs, plugs;
      for (PointId point : part_.points)
        (harness_[point].role == PointRole::Plug ? plugs : lugs).push_back(point);
      std::vector<Shape> ways{box(lugs, plugs)};
      std::reverse(lugs.begin(), lugs.end());
      std::reverse(plugs.begin(), plugs.end());
      ways.push_back(box(lugs, plugs));
      ways.back().stance = Stance::UpsideDown;
      return ways;
    }
    const std::vector<std::vector<PointId>> poles = poles_of();
    std::vector<PointId> all, left, right;
    for (const auto& pole : poles) all.insert(all.end(), pole.begin(), pole.end());
    std::vector<Shape> shapes;
    if (poles.size() > 1) {
      // Whole poles on either side, as even as can be.
      for (const auto& pole : poles) {
        auto& side = left.size() <= right.size() ? left : right;
        side.insert(side.end(), pole.begin(), pole.end());
      }
    } else if (all.size() > 2 && part_.kind == PartKind::Switch) {
      // The common lug across from the others.
      for (PointId point : all)
        (degree(point) == most_degree(all) && right.empty() ? right : left).push_back(point);
    } else {
      for (std::size_t i = 0; i < all.size(); ++i)
        (i < (all.size() + 1) / 2 ? left : right).push_back(all[i]);
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

 private:
  std::vector<ElementId> contacts() const {
    std::vector<ElementId> found;
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      if (element.kind == ElementKind::Contact && element.part == id_) found.push_back(ElementId{i});
    }
    return found;
  }

  std::size_t degree(PointId point) const {
    std::size_t count = 0;
    for (ElementId contact : contacts())
      count += harness_[contact].a == point || harness_[contact].b == point;
    return count;
  }

  std::size_t most_degree(const std::vector<PointId>& points) const {
    std::size_t most = 1;
    for (PointId point : points) most = std::max(most, degree(point));
    return most;
  }

  // The lugs by pole, each pole's in file order; lugs that no contact meets last.
  std::vector<std::vector<PointId>> poles_of() const {
    std::map<PointId, PointId> root;
    for (PointId point : part_.points) root[point] = point;
    const auto find = [&](PointId point) {
      while (root[point] != point) point = root[point];
      return point;
    };
    for (ElementId contact : contacts()) {
      const PointId a = find(harness_[contact].a), b = find(harness_[contact].b);
      root[std::max(a, b)] = std::min(a, b);
    }
    std::vector<std::vector<PointId>> poles;
    std::vector<PointId> alone;
    std::map<PointId, std::size_t> of_root;
    for (PointId point : part_.points) {
      if (degree(point) == 0) {
        alone.push_back(point);
        continue;
      }
      const auto [known, fresh] = of_root.emplace(find(point), poles.size());
      if (fresh) poles.emplace_back();
      poles[known->second].push_back(point);
    }
    if (poles.empty()) return {alone};
    poles.back().insert(poles.back().end(), alone.begin(), alone.end());
    return poles;
  }

  struct Row {
    double y = 0;
    bool left = true;
  };
  // Contacts that share a lug, drawn as a bar from it that the others meet.
  struct Star {
    PointId centre;
    std::vector<std::pair<ElementId, PointId>> leaves;
    double top = 0, low = 0;
    bool left = true;
    int lane = 0;
  };

  // Bars that would meet lie one behind the other. How many lanes that takes, on either side.
  static std::pair<int, int> give_lanes(std::vector<Star>& stars) {
    int lanes[2] = {0, 0};
    for (bool is_left : {true, false}) {
      std::vector<double> lowest;
      for (Star& star : stars) {
        if (star.left != is_left) continue;
        std::size_t lane = 0;
        while (lane < lowest.size() && lowest[lane] > star.top - 1) ++lane;
        if (lane == lowest.size()) lowest.push_back(0);
        lowest[lane] = star.low;
        star.lane = static_cast<int>(lane);
      }
      lanes[is_left ? 0 : 1] = static_cast<int>(lowest.size());
    }
    return {lanes[0], lanes[1]};
  }

  std::string mounted_on() const {
    return part_.mounted ? "on " + harness_[*part_.mounted].name + "'s shaft" : "";
  }

  // Lugs above and below, as where pickups come from one side and pots lie at the other.
  Shape lying(const std::vector<PointId>& above, const std::vector<PointId>& below) {
    const std::string on = mounted_on();
    std::map<PointId, Row> rows;  // here `y` is how far to the right, and `left` is above
    std::map<PointId, int> first;
    int right = 2;
    const auto stack = [&](const std::vector<PointId>& side, bool is_above, int x) {
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

    std::vector<Star> stars = stars_of(rows);
    for (Star& star : stars) {
      // The bar lies beside what meets it.
      star.left = std::any_of(star.leaves.begin(), star.leaves.end(),
                              [&](const auto& leaf) { return rows[leaf.second].left; });
    }
    const auto [lanes_above, lanes_below] = give_lanes(stars);
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
    std::map<PointId, int> met;
    for (const Star& star : stars) {
      const double lane =
          star.left ? inner_above + 2.0 * (star.lane + 1) : inner_below - 2.0 * (star.lane + 1);
      const auto inner = [&](PointId point) { return rows[point].left ? inner_above : inner_below; };
      const double own = rows[star.centre].y;
      line(star.centre, {{own, inner(star.centre)}, {own, lane}});
      double from = own, to = own;
      for (const auto& [contact, leaf] : star.leaves) {
        const double x = rows[leaf].y + 0.4 * met[leaf]++;
        from = std::min(from, x);
        to = std::max(to, x);
        feature(Feature::Kind::Contact, contact, {{x, lane}, {x, inner(leaf)}});
      }
      if (to > from) line(star.centre, {{from, lane}, {to, lane}});
    }
    return std::move(made_);
  }

  bool meets_any(PointId point, const std::vector<PointId>& others) const {
    const auto found = contacts();
    return std::any_of(found.begin(), found.end(), [&](ElementId contact) {
      const Element& element = harness_[contact];
      return (element.a == point && std::count(others.begin(), others.end(), element.b) > 0) ||
             (element.b == point && std::count(others.begin(), others.end(), element.a) > 0);
    });
  }

  Shape box(const std::vector<PointId>& left, const std::vector<PointId>& right) {
    const std::string on = mounted_on();
    const int first_row = on.empty() ? 4 : 5;
    std::map<PointId, Row> rows;
    std::map<PointId, int> first;
    int last = first_row;
    double label_left = 0, label_right = 0;
    const auto stack = [&](const std::vector<PointId>& side, bool is_left) {
      int y = first_row;
      for (PointId point : side) {
        const int count = room(point);
        first[point] = y;
        rows[point] = {y + double((count - 1) / 2), is_left};
        last = std::max(last, y + count - 1);
        y += count;
        if (harness_[point].role == PointRole::Plug) continue;
        double& label = is_left ? label_left : label_right;
        label = std::max(label, std::min(text_width(own_name(point), kLugSize), kMostLabel));
      }
    };
    stack(left, true);
    stack(right, false);
    if (part_.kind == PartKind::Jack) align_plugs(left, right, rows, last);

    std::vector<Star> stars = stars_of(rows);
    const auto [lanes_left, lanes_right] = give_lanes(stars);
    const bool plugs = part_.kind == PartKind::Jack;
    const double inner_left = left.empty() ? 1.5 : 1.5 + label_left / kCell + 0.7;
    double span =
        2.0 * (lanes_left + lanes_right) + (lanes_left > 0 && (lanes_right > 0 || !right.empty()) ? 2 : 0);
    if (lanes_left + lanes_right == 0) span = 1.5;
    const double label_room = right.empty() || plugs ? 0 : label_right / kCell + 0.7;
    const double header = std::min(text_width(part_.name, kNameSize, true), kMostName) / kCell;
    double body = inner_left + span + label_room + (right.empty() ? 0.5 : 0.5);
    body = std::max(body, header + 2);
    // A control's longest place must fit beneath its name.
    body = std::max(body, longest_place() / kCell + 2);
    if (!on.empty()) body = std::max(body, std::min(text_width(on, kValueSize), kMostName) / kCell + 3);
    const int edge = static_cast<int>(std::ceil(body));  // the outline's right edge
    const double inner_right = edge - label_room - (right.empty() ? 0.5 : 0.5);
    constexpr int kCable = 7;
    const int width = plugs ? edge + kCable : right.empty() ? edge : edge + 1;
    start(width, last + 1);
    outline(1, 0, edge, last + 1);
    letter(part_.name, (1 + edge) / 2.0, 1.5, kNameSize, Lettering::From::Middle, true, kMostName);
    if (part_.kind == PartKind::Module) {
      letter("module", (1 + edge) / 2.0, 2.75, kValueSize, Lettering::From::Middle);
    } else {
      place_line((1 + edge) / 2.0, 2.8, Lettering::From::Middle);
    }
    if (!on.empty()) letter(on, (1 + edge) / 2.0, 3.9, kValueSize, Lettering::From::Middle, false, kMostName);
    for (PointId point : left) {
      terminal(point, {0.5, rows[point].y}, {0, first[point]}, room(point), Side::Left,
               (room(point) - 1) / 2);
      letter(own_name(point), 1.5, rows[point].y + 0.36, kLugSize, Lettering::From::Start);
    }
    for (PointId point : right) {
      if (plugs) {
        terminal(point, {width - 0.4, rows[point].y}, {}, 0, Side::Right);
        letter(own_name(point), edge + 3.2, rows[point].y - 0.45, kInsideSize, Lettering::From::Middle);
        line(point, {{inner_right, rows[point].y}, {width - 0.4, rows[point].y}});
        continue;
      }
      terminal(point, {width - 0.5, rows[point].y}, {width, first[point]}, room(point), Side::Right,
               (room(point) - 1) / 2);
      letter(own_name(point), edge - 0.5, rows[point].y + 0.36, kLugSize, Lettering::From::End);
    }
    if (plugs) {
      const double top = rows[right.front()].y, low = rows[right.back()].y;
      outline(edge, top - 1.4, width, low + 0.6);
    }
    std::map<PointId, int> met;
    for (const Star& star : stars) {
      const double lane =
          star.left ? inner_left + 2.0 * (star.lane + 1) : inner_right - 2.0 * (star.lane + 1);
      const auto inner = [&](PointId point) { return rows[point].left ? inner_left : inner_right; };
      line(star.centre, {{inner(star.centre), rows[star.centre].y}, {lane, rows[star.centre].y}});
      double top = rows[star.centre].y, low = top;
      for (const auto& [contact, leaf] : star.leaves) {
        const double y = rows[leaf].y + 0.4 * met[leaf]++;
        top = std::min(top, y);
        low = std::max(low, y);
        feature(Feature::Kind::Contact, contact, {{lane, y}, {inner(leaf), y}});
      }
      if (low > top) line(star.centre, {{lane, top}, {lane, low}});
    }
    return std::move(made_);
  }

  // A plug's points stand level with the contacts that meet them.
  void align_plugs(const std::vector<PointId>& left, const std::vector<PointId>& right,
                   std::map<PointId, Row>& rows, int& last) const {
    double least = 0;
    for (PointId plug : right) {
      double y = least;
      for (ElementId contact : contacts()) {
        const Element& element = harness_[contact];
        if (element.b == plug && std::count(left.begin(), left.end(), element.a))
          y = std::max(y, rows[element.a].y);
      }
      rows[plug].y = std::max(y, least);
      least = rows[plug].y + 2;
      last = std::max(last, static_cast<int>(std::ceil(rows[plug].y)));
    }
  }

  std::vector<Star> stars_of(std::map<PointId, Row>& rows) const {
    std::vector<ElementId> left = contacts();
    std::vector<Star> stars;
    while (!left.empty()) {
      std::map<PointId, std::size_t> count;
      for (ElementId contact : left) {
        ++count[harness_[contact].b];
        ++count[harness_[contact].a];
      }
      PointId centre = harness_[left.front()].b;  // the common lug, where nothing else decides
      for (PointId point : part_.points) {
        if (count.count(point) && count[point] > count[centre]) centre = point;
      }
      Star star;
      star.centre = centre;
      star.left = rows[centre].left;
      star.top = star.low = rows[centre].y;
      std::vector<ElementId> rest;
      for (ElementId contact : left) {
        const Element& element = harness_[contact];
        if (element.a != centre && element.b != centre) {
          rest.push_back(contact);
          continue;
        }
        const PointId leaf = element.a == centre ? element.b : element.a;
        star.leaves.emplace_back(contact, leaf);
        star.top = std::min(star.top, rows[leaf].y);
        star.low = std::max(star.low, rows[leaf].y);
      }
      stars.push_back(std::move(star));
      left = std::move(rest);
    }
    std::stable_sort(stars.begin(), stars.end(), [](const Star& a, const Star& b) { return a.top < b.top; });
    return stars;
  }

  double longest_place() const {
    double longest = part_.kind == PartKind::Jack ? text_width("plug out", 11, true) : 0;
    for (const Position& position : part_.positions)
      longest = std::max(longest, std::min(text_width(position.name, 11, true), kMostName));
    return longest;
  }
};

}  // namespace

std::vector<Shape> box_shapes(const Harness& harness, const Hookup& hookup, PartId part) {
  return BoxDraughtsman(harness, hookup, part).draw();
}

}  // namespace lugwise::drawing::inside
