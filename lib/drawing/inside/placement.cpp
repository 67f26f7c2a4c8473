#include "drawing/inside/placement.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "drawing/inside/cavity.h"
#include "drawing/inside/seat.h"
#include "drawing/inside/trade_name.h"

namespace lugwise::drawing::inside {
namespace {

constexpr int kMargin = 4;   // cells to the left of and above everything, for wires
constexpr int kBeyond = 14;  // to the right and below; what stays empty is cut off later
constexpr int kGap = 4;      // between parts of a row
constexpr int kRowGap = 3;   // between rows, and one more for so many points of the upper:
constexpr int kLeadsToARow = 8;
constexpr int kJackIn = 4;   // of a jack below the pots, under the last of them
constexpr int kAslant = 10;  // of a scratchplate's controls: nearer to the bridge and the jack with each row
constexpr int kWidestRow = 104;  // cells; what is wider goes on in a row of its own

// What lies by its measures: how many cells a millimetre may be, and how large all may become.
constexpr double kLeastScale = 0.2, kMostScale = 1.5;
constexpr double kWidestMeasured = 150;  // cells

constexpr std::size_t kTwoDecks = 4;  // pots from which on they lie in two rows

// Rows, from the top.
enum class Band { Pickups, Controls, Tones, Rest };

class Placer {
 public:
  Placer(const Harness& harness, const std::vector<std::vector<Shape>>& shapes, const Places& places,
         int room)
      : harness_(harness),
        shapes_(shapes),
        places_(places),
        room_(room),
        has_(stock_of(harness)),
        cavity_(cavity_of(harness, has_, places)) {}

  Placement place() {
    const std::size_t count = shapes_.size();
    made_.variant.assign(count, 0);
    made_.corner.assign(count, {});
    seat_all();
    turn();
    const auto [above, below] = rows_of();
    const Block block = measured();
    std::vector<int> left = lefts_of(above, block, below);
    const int first = left.empty() ? 0 : *std::min_element(left.begin(), left.end());
    int y = kMargin, widest = 0;
    std::size_t at = 0;
    const auto lay = [&](const Row& row) {
      const int x = kMargin + left[at++] - first;
      const auto [right, height] = lay_row(row, x, y);
      widest = std::max(widest, right);
      y += height + row_gap(row);
    };
    for (const Row& row : above) lay(row);
    if (!block.corners.empty()) {
      const int x = kMargin + left[at++] - first;
      for (const auto& [p, corner] : block.corners) set_down(cluster_of(p), x + corner.x, y + corner.y);
      widest = std::max(widest, x + block.width);
      y += block.height + kRowGap + room_;
    }
    for (const Row& row : below) lay(row);
    made_.width = widest + kBeyond + 2 * room_;
    made_.height = y + kBeyond;
    return std::move(made_);
  }

 private:
  using Row = std::vector<std::size_t>;

  // What lies by its measures, from its own upper left corner.
  struct Block {
    int width = 0, height = 0;
    std::vector<std::pair<std::size_t, Cell>> corners;
  };

  struct Cluster {
    int width = 0, height = 0;
    int above = 0;  // of its height, what stands over the part itself
    std::vector<std::pair<std::size_t, Cell>> members;
  };

  const Part& part(std::size_t index) const { return harness_[PartId{static_cast<std::uint32_t>(index)}]; }
  const PlacedPart& shape(std::size_t index) const { return shapes_[index][made_.variant[index]].part; }
  int gap() const { return kGap + room_; }
  int row_gap(const Row& row) const { return kRowGap + room_ + leads_of(row) / kLeadsToARow; }

  void set_down(const Cluster& cluster, int x, int y) {
    for (const auto& [member, at] : cluster.members) made_.corner[member] = {x + at.x, y + at.y};
  }

  // Where it ends at the right, and how high it is.
  std::pair<int, int> lay_row(const Row& row, int x, int y) {
    int height = 0, above = 0;
    for (std::size_t p : row) above = std::max(above, cluster_of(p).above);
    for (std::size_t p : row) {
      const Cluster cluster = cluster_of(p);
      const int down = above - cluster.above;  // pots of a row stand level
      set_down(cluster, x, y + down);
      x += cluster.width + gap();
      height = std::max(height, cluster.height + down);
    }
    return {x, height};
  }

  // Which way parts face. A switch shows its lugs to the pickups above and to the pots beside it, the bridge looks down to
  // the controls, and so does the first end of a resistor that stands for a pickup. A jack beside the pots has its sleeve
  // level with their cases and its tip with their lugs.
  void turn() {
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (seats_[p]) continue;
      if (part(p).kind == PartKind::Switch && !kills(p))
        face(p, {has_.modules > 0 ? Stance::OneSided : Stance::Lying, Stance::OneSided});
      else if (at_the_bridge(harness_, part(p)) || stands_in(part(p)))
        face(p, {Stance::UpsideDown});
      else if (part(p).kind == PartKind::Jack && band_of(p) != Band::Rest)
        face(p, {Stance::UpsideDown});
    }
  }

  // The first of these that there is.
  void face(std::size_t p, std::initializer_list<Stance> wanted) {
    for (const Stance stance : wanted) {
      for (std::size_t v = 0; v < shapes_[p].size(); ++v) {
        if (shapes_[p][v].stance != stance) continue;
        made_.variant[p] = v;
        return;
      }
    }
  }

  // ---- what sits on what

  void seat_all() {
    seats_.assign(shapes_.size(), std::nullopt);
    riders_.assign(shapes_.size(), {});
    const auto seat = [&](std::size_t p, Seat on) {
      riders_[on.on].push_back(p);
      seats_[p] = on;
    };
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (given(p)) continue;
      if (part(p).pot && part(p).pot->gang) {
        seat(p, {part(p).pot->gang->index, Seat::Place::Right, false});
      } else if (part(p).mounted) {
        // One shaft has one place: that of the pot whose case it comes through.
        const auto& pot = harness_[*part(p).mounted].pot;
        seat(p, {(pot->gang ? *pot->gang : *part(p).mounted).index, Seat::Place::Above, false});
        face(p, {Stance::OneSided, Stance::Mirrored});
      }
    }
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      const bool small = part(p).kind == PartKind::Capacitor || part(p).kind == PartKind::Resistor;
      if (given(p) || !small || stands_in(part(p))) continue;
      std::optional<Seat> found = seat_of(harness_, PartId{static_cast<std::uint32_t>(p)});
      if (!found) continue;
      // What ends on a switch that sits on a pot stands beside that pot.
      if (const auto& host = seats_[found->on]) *found = {host->on, Seat::Place::Right, found->turned};
      seat(p, *found);
      const std::size_t lying = shapes_[p].size() - 2;
      made_.variant[p] = (found->place == Seat::Place::Below ? lying : 0) + (found->turned ? 1 : 0);
    }
  }

  bool given(std::size_t part) const { return places_.of(part).has_value(); }
  bool is_measured(std::size_t part) const {
    return given(part) && places_.of(part)->kind == Place::Kind::Measured;
  }

  // A part with what sits on it.
  Cluster cluster_of(std::size_t p) const {
    using Place = Seat::Place;
    constexpr int kApart = 3, kBeside = 2, kBelow = 6, kUnder = 2;
    const int own = shape(p).width;
    std::map<Place, int> width;
    int above = 0, tallest = 0;
    for (std::size_t rider : riders_[p]) {
      const Place place = seats_[rider]->place;
      if (place == Place::Below)
        width[place] = std::max(width[place], shape(rider).width);
      else
        width[place] += shape(rider).width + (place == Place::Left ? kApart : kBeside);
      if (place == Place::Above) above = std::max(above, shape(rider).height + kBeside);
    }
    // What lies below may stand out on both sides.
    const int out = std::max(0, (width[Place::Below] - own) / 2);
    const int left = std::max(width[Place::Left], out);
    std::map<Place, int> x{{Place::Left, left - width[Place::Left]},
                           {Place::Right, left + own + kBeside},
                           {Place::Above, left + (own - width[Place::Above] + kBeside) / 2}};
    Cluster cluster;
    cluster.members.push_back({p, {left, above}});
    tallest = above + shape(p).height;
    int low = tallest + kBelow;  // what lies below lies one under the other
    for (std::size_t rider : riders_[p]) {
      const Place place = seats_[rider]->place;
      const int across = shape(rider).width;
      int y = place == Place::Above ? 0 : above + lift_of(p, rider);
      if (place == Place::Below) {
        x[place] = left + (own - across) / 2;
        y = low;
        low += shape(rider).height + kUnder;
      }
      cluster.members.push_back({rider, {std::max(0, x[place]), y}});
      x[place] += across + (place == Place::Left ? kApart : kBeside);
      tallest = std::max(tallest, y + shape(rider).height);
    }
    cluster.width = left + own + std::max(width[Place::Right], out);
    cluster.height = tallest;
    cluster.above = above;
    return cluster;
  }

  // How far a rider's top is below its part's.
  int lift_of(std::size_t p, std::size_t rider) const {
    return std::max(0, shape(p).height - shape(rider).height - (part(p).kind == PartKind::Pot ? 2 : 0));
  }

  // ---- rows

  // Tones lie in a row below the volumes where there are many pots, and on a scratchplate, where knobs lie aslant.
  bool two_decks() const {
    if (has_.pots >= kTwoDecks) return true;
    return cavity_ == Cavity::Scratchplate && has_.tones > 0 && has_.pots > has_.tones;
  }

  // Where each pickup has its volume, the switch follows these; and where a volume stands alone, so does a button.
  bool mixes() const { return has_.volumes > 1; }
  bool kills(std::size_t p) const { return has_.pots == 1 && part(p).points.size() == 2; }

  // Beside a single pot nothing but a switch stands: the jack is below it.
  Band band_of(std::size_t p) const {
    const Part& one = part(p);
    switch (one.kind) {
      case PartKind::Pickup:
        return Band::Pickups;
      case PartKind::Pot:
        return two_decks() && says(one.name, {"tone"}) ? Band::Tones : Band::Controls;
      case PartKind::Jack:
        if (has_.pots == 1 && has_.modules == 0) return Band::Rest;
        return two_decks() ? Band::Tones : Band::Controls;
      case PartKind::Switch:
        return mixes() || kills(p) ? Band::Rest : Band::Controls;
      case PartKind::Metal:
        return at_the_bridge(harness_, one) ? Band::Pickups : Band::Rest;
      case PartKind::Resistor:
      case PartKind::Capacitor:
        return Band::Pickups;
      default:
        return Band::Rest;
    }
  }

  // Where in its row, from the left.
  int order_in_row(std::size_t p) const {
    const Part& one = part(p);
    switch (one.kind) {
      case PartKind::Metal:
        return at_the_bridge(harness_, one) ? 90 : 0;
      case PartKind::Jack:
        return 90;
      case PartKind::Switch:
        // A selector before the pots and a split between them where they lie in two rows; else a button or a split behind them.
        return one.points.size() > 2 ? 0 : two_decks() ? 5 : 70;
      case PartKind::Pot:
        return (says(one.name, {"tone"}) ? 50 : 10) + 10 * rank_of(one.name);
      default:
        return 10 * rank_of(one.name);
    }
  }

  // What lies above what has measures, and below it: rows of parts that have none.
  std::pair<std::vector<Row>, std::vector<Row>> rows_of() const {
    std::map<int, Row> rows;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (seats_[p] || is_measured(p)) continue;
      rows[given(p) ? static_cast<int>(places_.of(p)->y) : static_cast<int>(band_of(p))].push_back(p);
    }
    std::pair<std::vector<Row>, std::vector<Row>> made;
    for (auto& [y, row] : rows) {
      const auto key = [&](std::size_t p) {
        return std::pair(given(p) ? -1 : order_in_row(p), given(p) ? places_.of(p)->x : 0);
      };
      std::stable_sort(row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
      split(row, y == static_cast<int>(Band::Pickups) ? made.first : made.second);
    }
    return made;
  }

  void split(const Row& row, std::vector<Row>& made) const {
    made.emplace_back();
    for (std::size_t p : row) {
      Row longer = made.back();
      longer.push_back(p);
      if (!made.back().empty() && width_of(longer) > kWidestRow && !given(p)) {
        made.push_back({p});
      } else {
        made.back() = std::move(longer);
      }
    }
  }

  // ---- measures

  // Parts by their middles, in the least scale in which they lie apart; what is closer than that goes further down.
  Block measured() const {
    struct Lie {
      std::size_t part;
      double x, y;   // millimetres
      int left, up;  // of its cluster, from its own middle; cells
      int right, down;
    };
    std::vector<Lie> lies;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (!is_measured(p)) continue;
      const Cluster cluster = cluster_of(p);
      const Cell own = cluster.members.front().second;
      const int left = own.x + shape(p).width / 2, up = own.y + shape(p).height / 2;
      lies.push_back(
          {p, places_.of(p)->x, places_.of(p)->y, left, up, cluster.width - left, cluster.height - up});
    }
    if (lies.empty()) return {};
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
    scale = std::min({scale, kWidestMeasured / wide, kWidestMeasured / high});
    std::stable_sort(lies.begin(), lies.end(),
                     [](const Lie& a, const Lie& b) { return std::pair(a.y, a.x) < std::pair(b.y, b.x); });
    struct Taken {
      int x, y, right, low;
    };
    std::vector<Taken> taken;
    Block block;
    int least_x = 0, least_y = 0;
    for (const Lie& lie : lies) {
      const int x = static_cast<int>(std::floor(lie.x * scale + 0.5)) - lie.left;
      int y = static_cast<int>(std::floor(lie.y * scale + 0.5)) - lie.up;
      for (bool moved = true; moved;) {
        moved = false;
        for (const Taken& other : taken) {
          const bool apart = x >= other.right + gap() || other.x >= x + lie.left + lie.right + gap() ||
                             y >= other.low + kRowGap || other.y >= y + lie.up + lie.down + kRowGap;
          if (apart) continue;
          y = other.low + kRowGap;
          moved = true;
        }
      }
      taken.push_back({x, y, x + lie.left + lie.right, y + lie.up + lie.down});
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

  // ---- how rows lie to each other

  // On a plate controls begin where the pickups do; in a cavity, and where they lie in two rows, rows have their middles
  // below each other, on a scratchplate aslant. That is without what stands at the end by itself: the bridge beside the
  // pickups, the jack at the side. A module and its battery lie toward the jack.
  int share_left(int width) const {
    const bool in_line = cavity_ == Cavity::ControlPlate && !two_decks() && has_.modules == 0;
    return in_line ? 0 : width / 2;
  }

  std::vector<int> lefts_of(const std::vector<Row>& above, const Block& block,
                            const std::vector<Row>& below) const {
    std::vector<int> left;
    int rim = 0, jack = 0;
    const auto add = [&](const Row& row, int by) {
      Row core;
      for (std::size_t p : row) {
        if (!aside(p)) core.push_back(p);
      }
      const int width = width_of(core);
      left.push_back(core.empty() ? std::max(0, rim - kJackIn) : by - share_left(width));
      if (!core.empty()) rim = std::max(rim, by + width - share_left(width));
      jack = std::max(jack, has(row, PartKind::Jack) ? width_of(row) - width : 0);
    };
    for (const Row& row : above) add(row, 0);
    if (!block.corners.empty()) {
      left.push_back(-share_left(block.width));
      rim = std::max(rim, block.width - share_left(block.width));
    }
    const int aslant = two_decks() && cavity_ == Cavity::Scratchplate ? kAslant : 0;
    for (std::size_t i = 0; i < below.size(); ++i) {
      const bool module = has(below[i], PartKind::Module);
      add(below[i], (module ? 2 * jack / 3 : 0) + aslant * std::min(static_cast<int>(i) + 1, 2));
    }
    return left;
  }

  bool has(const Row& row, PartKind kind) const {
    return std::any_of(row.begin(), row.end(), [&](std::size_t p) { return part(p).kind == kind; });
  }

  bool aside(std::size_t p) const {
    if (given(p)) return false;
    return part(p).kind == PartKind::Jack || at_the_bridge(harness_, part(p));
  }

  int width_of(const Row& row) const {
    int width = 0;
    for (std::size_t p : row) width += (width > 0 ? gap() : 0) + cluster_of(p).width;
    return width;
  }

  // Points whose wires leave a row downwards.
  int leads_of(const Row& row) const {
    std::size_t count = 0;
    for (std::size_t p : row) count += part(p).points.size();
    return static_cast<int>(count);
  }

  const Harness& harness_;
  const std::vector<std::vector<Shape>>& shapes_;
  const Places& places_;
  int room_;
  Stock has_;
  Cavity cavity_;
  Placement made_;
  std::vector<std::optional<Seat>> seats_;
  std::vector<std::vector<std::size_t>> riders_;
};

}  // namespace

Placement place_parts(const Harness& harness, const Hookup&, const std::vector<std::vector<Shape>>& shapes,
                      const Places& places, int room) {
  return Placer(harness, shapes, places, room).place();
}

}  // namespace lugwise::drawing::inside
