#include "drawing/inside/placement.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lugwise::inside {
namespace {

constexpr int kMargin = 8;        // cells around everything, for wires; what stays empty is cut off later
constexpr int kColumns = 56;      // cells a row should not exceed: a phone's width at a legible size
constexpr double kCrossing = 14;  // as bad as so many cells of wire

// The minimal standard generator: the same everywhere.
class Dice {
 public:
  explicit Dice(std::uint32_t seed) : state_(seed % 2147483646 + 1) {}
  std::uint32_t next() {
    return state_ = static_cast<std::uint32_t>(std::uint64_t{state_} * 48271 % 2147483647);
  }
  std::size_t below(std::size_t count) { return next() % count; }
  double share() { return next() / 2147483647.0; }

 private:
  std::uint32_t state_;
};

struct Stance {
  double x = 0, y = 0;    // of the terminal, from the part's corner; cells
  double dx = 0, dy = 0;  // a little way out from it
};

struct Tie {
  std::size_t part_a = 0, part_b = 0;
  std::size_t stance_a = 0, stance_b = 0;
  double weight = 1;
};

struct Sides {
  int left = 0, right = 0, up = 0, down = 0;
};

using Rows = std::vector<std::vector<std::size_t>>;

class Search {
 public:
  Search(const Harness& harness, const Hookup& hookup, const std::vector<std::vector<Shape>>& shapes,
         const Places& places, std::uint32_t seed, int room)
      : harness_(harness), shapes_(shapes), places_(places), dice_(seed), room_(room) {
    const std::size_t count = shapes.size();
    stances_.resize(count);
    sides_.resize(count);
    for (std::size_t p = 0; p < count; ++p) {
      for (const Shape& shape : shapes[p])
        measure(shape, hookup, stances_[p].emplace_back(), sides_[p].emplace_back());
    }
    for (const Run& run : hookup.runs) {
      if (!run.start.berth || !run.end.berth) continue;
      tie(hookup.berths[*run.start.berth].point, hookup.berths[*run.end.berth].point,
          run.kind == Strand::Kind::Touch ? 0.5 : 1);
    }
    for (std::uint32_t p = 0; p < count; ++p) {
      const Part& part = harness[PartId{p}];
      if (part.pot && part.pot->gang)
        ties_.push_back({p, part.pot->gang->index, 0, stances_[part.pot->gang->index][0].size() - 1, 4});
    }
    variant_.assign(count, 0);
    x_.assign(count, 0);
    y_.assign(count, 0);
    row_.assign(count, 0);
    in_row_.assign(count, 0);
  }

  Placement run() {
    begin();
    double now = cost();
    Rows best_rows = rows_;
    std::vector<std::size_t> best_variant = variant_;
    double best = now;
    const std::size_t pairs = 60 + ties_.size() * ties_.size() / 2 + 6 * shapes_.size();
    const std::size_t rounds = std::clamp<std::size_t>(24'000'000 / pairs, 300, 12'000);
    const double hot = 60, cold = 1;
    for (std::size_t i = 0; i < rounds && shapes_.size() > 1; ++i) {
      // Threshold accepting: sums and products only, so that every machine finds the same.
      const double left = 1 - static_cast<double>(i) / static_cast<double>(rounds);
      const double heat = hot * left * left * left + cold;
      const Rows before = rows_;
      const std::vector<std::size_t> variant_before = variant_;
      if (!change()) continue;
      const double then = cost();
      const double daring = dice_.share();
      if (then <= now || then - now < heat * daring * daring) {
        now = then;
        if (now < best) {
          best = now;
          best_rows = rows_;
          best_variant = variant_;
        }
      } else {
        rows_ = before;
        variant_ = variant_before;
      }
    }
    rows_ = best_rows;
    variant_ = best_variant;
    cost();
    return placed();
  }

 private:
  void measure(const Shape& shape, const Hookup& hookup, std::vector<Stance>& stances, Sides& sides) {
    for (const Terminal& terminal : shape.part.terminals) {
      Stance stance{terminal.at.x / kCell, terminal.at.y / kCell, 0, 0};
      if (terminal.ring) {
        stance.y = shape.part.outline.front().y / kCell + shape.part.outline.front().height / 2 / kCell;
        const int each = (hookup.sites_at(terminal.point) + 2) / 3;
        sides.left += each;
        sides.right += each;
        sides.up += each;
      } else {
        const Side out = terminal.sites.empty() ? Side::Down : terminal.sites.front().out;
        if (!terminal.sites.empty()) {
          stance.dx = out == Side::Left ? -1.5 : out == Side::Right ? 1.5 : 0;
          stance.dy = out == Side::Up ? -1.5 : out == Side::Down ? 1.5 : 0;
        }
        const int sites = static_cast<int>(terminal.sites.size());
        (out == Side::Left    ? sides.left
         : out == Side::Right ? sides.right
         : out == Side::Up    ? sides.up
                              : sides.down) += sites;
      }
      stances.push_back(stance);
    }
  }

  std::size_t stance_of(std::size_t part, PointId point) const {
    const std::vector<Terminal>& terminals = shapes_[part][0].part.terminals;
    for (std::size_t i = 0; i < terminals.size(); ++i) {
      if (terminals[i].point == point) return i;
    }
    return 0;
  }

  void tie(PointId a, PointId b, double weight) {
    const std::size_t part_a = harness_[a].part->index, part_b = harness_[b].part->index;
    if (part_a == part_b) return;
    ties_.push_back({part_a, part_b, stance_of(part_a, a), stance_of(part_b, b), weight});
  }

  struct Place {
    std::uint16_t column = 0, row = 0;
  };
  std::optional<Place> place_of(std::size_t part) const {
    if (part >= places_.size() || !places_[part]) return std::nullopt;
    return Place{places_[part]->first, places_[part]->second};
  }

  const PlacedPart& shape(std::size_t part) const { return shapes_[part][variant_[part]].part; }

  // Pickups above, metal below, what is small and in between filled into rows in file order.
  void begin() {
    std::vector<std::size_t> top, middle, low;
    for (std::uint32_t p = 0; p < shapes_.size(); ++p) {
      if (place_of(p)) continue;
      const PartKind kind = harness_[PartId{p}].kind;
      (kind == PartKind::Pickup                            ? top
       : kind == PartKind::Metal || kind == PartKind::Jack ? low
                                                           : middle)
          .push_back(p);
    }
    const auto fill = [&](const std::vector<std::size_t>& parts) {
      int used = kColumns + 1;
      for (std::size_t part : parts) {
        const int width = shape(part).width + 4;
        if (used + width > kColumns + 4) {
          rows_.emplace_back();
          used = 0;
        }
        rows_.back().push_back(part);
        used += width;
      }
    };
    fill(top);
    fill(middle);
    fill(low);
    for (int spare = 0; spare < 2; ++spare) rows_.emplace_back();
    for (std::uint32_t p = 0; p < shapes_.size(); ++p) {
      const auto place = place_of(p);
      if (!place) continue;
      if (rows_.size() <= place->row) rows_.resize(place->row + 1u);
      auto& row = rows_[place->row];
      auto at = row.begin();
      while (at != row.end() && (!place_of(*at) || place_of(*at)->column <= place->column)) ++at;
      row.insert(at, p);
    }
  }

  static PartId part_id(std::size_t index) { return PartId{static_cast<std::uint32_t>(index)}; }

  bool hints_kept(const std::vector<std::size_t>& row) const {
    std::optional<std::uint16_t> before;
    for (std::size_t part : row) {
      const auto place = place_of(part);
      if (!place) continue;
      if (before && place->column < *before) return false;
      before = place->column;
    }
    return true;
  }

  std::pair<std::size_t, std::size_t> find(std::size_t part) const {
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      const auto at = std::find(rows_[r].begin(), rows_[r].end(), part);
      if (at != rows_[r].end()) return {r, static_cast<std::size_t>(at - rows_[r].begin())};
    }
    return {0, 0};
  }

  bool change() {
    const std::size_t part = dice_.below(shapes_.size());
    const std::size_t kind = dice_.below(10);
    const bool fixed = place_of(part).has_value();
    const auto [row, at] = find(part);
    if (kind < 2) {
      if (shapes_[part].size() < 2) return false;
      variant_[part] = dice_.below(shapes_[part].size());
      return true;
    }
    if (kind < 6 && !fixed) {  // elsewhere
      const std::size_t to = dice_.below(rows_.size());
      rows_[row].erase(rows_[row].begin() + static_cast<std::ptrdiff_t>(at));
      const std::size_t into = dice_.below(rows_[to].size() + 1);
      rows_[to].insert(rows_[to].begin() + static_cast<std::ptrdiff_t>(into), part);
      return hints_kept(rows_[to]) || undo();
    }
    if (kind < 9) {  // two exchanged
      const std::size_t other = dice_.below(shapes_.size());
      if (other == part) return false;
      const auto [other_row, other_at] = find(other);
      const bool other_fixed = place_of(other).has_value();
      if (row != other_row && (fixed || other_fixed)) return false;
      std::swap(rows_[row][at], rows_[other_row][other_at]);
      return (hints_kept(rows_[row]) && hints_kept(rows_[other_row])) || undo();
    }
    const std::size_t other = dice_.below(rows_.size());
    const auto pinned = [&](const std::vector<std::size_t>& parts) {
      return std::any_of(parts.begin(), parts.end(), [&](std::size_t p) { return place_of(p).has_value(); });
    };
    if (other == row || pinned(rows_[row]) || pinned(rows_[other])) return false;
    std::swap(rows_[row], rows_[other]);
    return true;
  }

  // A change that breaks a hint is left standing for `cost` to forbid: the caller takes it back.
  bool undo() {
    broken_ = true;
    return true;
  }

  int gap(std::size_t a, std::size_t b) const {
    return 3 + room_ + (sides_[a][variant_[a]].right + sides_[b][variant_[b]].left + 1) / 2;
  }

  double cost() {
    if (broken_) {
      broken_ = false;
      return 1e12;
    }
    double total = 0;
    int y = 0;
    std::size_t level = 0, levels = 0;
    for (const auto& row : rows_) levels += !row.empty();
    int widest = 0;
    int down_before = 0;
    for (const auto& row : rows_) {
      if (row.empty()) continue;
      int width = 0, height = 0, up = 0, down = 0;
      for (std::size_t i = 0; i < row.size(); ++i) {
        if (i > 0) width += gap(row[i - 1], row[i]);
        width += shape(row[i]).width;
        height = std::max(height, shape(row[i]).height);
        up += sides_[row[i]][variant_[row[i]]].up;
        down += sides_[row[i]][variant_[row[i]]].down;
      }
      widest = std::max(widest, width);
      if (level > 0) y += 6 + 2 * room_ + (up + down_before) / 2;
      down_before = down;
      int x = -width / 2;
      for (std::size_t i = 0; i < row.size(); ++i) {
        const std::size_t part = row[i];
        if (i > 0) x += gap(row[i - 1], part);
        x_[part] = x;
        y_[part] = y + (height - shape(part).height) / 2;
        row_[part] = static_cast<int>(level);
        in_row_[part] = static_cast<int>(i);
        x += shape(part).width;
        const double from_low = static_cast<double>(levels - 1 - level);
        switch (harness_[part_id(part)].kind) {
          case PartKind::Pickup:
            total += 45.0 * static_cast<double>(level);
            break;
          case PartKind::Metal:
            total += 16 * from_low;
            break;
          case PartKind::Jack:
            total += 10 * from_low;
            break;
          default:
            break;
        }
      }
      const double over = std::max(0, width - kColumns);
      total += 3.0 * over * over;
      y += height;
      ++level;
    }
    height_ = y;
    total += 1.2 * y + 0.5 * widest;
    return total + wires();
  }

  double wires() {
    double total = 0;
    ends_.clear();
    for (const Tie& tie : ties_) {
      const Stance& a = stances_[tie.part_a][variant_[tie.part_a]][tie.stance_a];
      const Stance& b = stances_[tie.part_b][variant_[tie.part_b]][tie.stance_b];
      const double ax = x_[tie.part_a] + a.x + a.dx, ay = y_[tie.part_a] + a.y + a.dy;
      const double bx = x_[tie.part_b] + b.x + b.dx, by = y_[tie.part_b] + b.y + b.dy;
      double length = std::abs(ax - bx) + std::abs(ay - by);
      // A way around its own part, where it leaves away from its goal.
      if (a.dy * (by - ay) < 0) length += 5;
      if (b.dy * (ay - by) < 0) length += 5;
      if (a.dx * (bx - ax) < 0) length += 5;
      if (b.dx * (ax - bx) < 0) length += 5;
      const int apart = std::abs(row_[tie.part_a] - row_[tie.part_b]);
      if (apart > 1) length += 8.0 * (apart - 1);
      if (apart == 0) length += 4.0 * std::max(0, std::abs(in_row_[tie.part_a] - in_row_[tie.part_b]) - 1);
      total += tie.weight * length;
      ends_.push_back({ax, ay, bx, by});
    }
    if (ends_.size() > 250) return total;
    int crossings = 0;
    for (std::size_t i = 0; i < ends_.size(); ++i) {
      for (std::size_t j = i + 1; j < ends_.size(); ++j) crossings += cross(ends_[i], ends_[j]);
    }
    return total + kCrossing * crossings;
  }

  struct Segment {
    double ax, ay, bx, by;
  };
  static bool cross(const Segment& s, const Segment& t) {
    const auto turn = [](double ax, double ay, double bx, double by, double cx, double cy) {
      return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    };
    return turn(s.ax, s.ay, s.bx, s.by, t.ax, t.ay) * turn(s.ax, s.ay, s.bx, s.by, t.bx, t.by) < 0 &&
           turn(t.ax, t.ay, t.bx, t.by, s.ax, s.ay) * turn(t.ax, t.ay, t.bx, t.by, s.bx, s.by) < 0;
  }

  Placement placed() {
    int least = 0, most = 0;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      least = p == 0 ? x_[p] : std::min(least, x_[p]);
      most = std::max(p == 0 ? x_[p] : most, x_[p] + shape(p).width);
    }
    Placement placement;
    placement.variant = variant_;
    placement.width = most - least + 2 * kMargin;
    placement.height = height_ + 2 * kMargin;
    for (std::size_t p = 0; p < shapes_.size(); ++p)
      placement.corner.push_back({x_[p] - least + kMargin, y_[p] + kMargin});
    return placement;
  }

  const Harness& harness_;
  const std::vector<std::vector<Shape>>& shapes_;
  const Places& places_;
  Dice dice_;
  int room_;
  std::vector<std::vector<std::vector<Stance>>> stances_;  // by part, by variant, by terminal
  std::vector<std::vector<Sides>> sides_;
  std::vector<Tie> ties_;
  std::vector<Segment> ends_;
  Rows rows_;
  std::vector<std::size_t> variant_;
  std::vector<int> x_, y_, row_, in_row_;
  int height_ = 0;
  bool broken_ = false;
};

}  // namespace

Placement place_parts(const Harness& harness, const Hookup& hookup,
                      const std::vector<std::vector<Shape>>& shapes, const Places& places, std::uint32_t seed,
                      int room) {
  return Search(harness, hookup, shapes, places, seed, room).run();
}

}  // namespace lugwise::inside
