#include "drawing/inside/placement.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace lugwise::drawing::inside {
namespace {

constexpr int kMargin = 4;   // cells to the left of and above everything, for wires
constexpr int kBeyond = 14;  // to the right and below; what stays empty is cut off later
constexpr int kGap = 4;      // between parts of a row
constexpr int kRowGap = 3;   // between rows, and one more for so many points of the upper:
constexpr int kLeadsToARow = 8;
constexpr int kJackIn = 4;            // of a jack below the pots, under the last of them
constexpr int kWidestRow = 104;       // cells; what is wider goes on in a row of its own
constexpr std::size_t kTwoDecks = 4;  // pots from which on they lie in two rows, as in a rear cavity

enum class Band { Pickups, Controls, Tones, Rest };

bool says(std::string_view name, std::initializer_list<std::string_view> words) {
  std::string low;
  for (const char c : name) low += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return low.find(word) != std::string::npos; });
}

// From the neck to the bridge, by the words of the trade; common practice, no source.
int rank_of(std::string_view name) {
  if (says(name, {"neck", "front"})) return 0;
  if (says(name, {"middle", "centre", "center"})) return 1;
  if (says(name, {"bridge", "rear", "back"})) return 2;
  return 1;
}

bool at_the_bridge(const Harness& harness, const Part& part) {
  if (part.kind != PartKind::Metal) return false;
  const auto named = [&](std::string_view name) {
    return says(name, {"bridge", "string", "claw", "spring", "tail", "hardware"});
  };
  return named(part.name) || std::any_of(part.points.begin(), part.points.end(), [&](PointId point) {
           const std::string& name = harness[point].name;
           return named(std::string_view(name).substr(name.find('.') + 1));
         });
}

// What sits on another part: which, and where. By a pot's case stands what ends there, and a ganged pot; below its lugs
// lies what joins two of them; above it is the switch that its shaft works.
struct Seat {
  enum class Place { Left, Right, Below, Above };
  std::size_t on = 0;
  Place place = Place::Left;
  bool turned = false;  // its second end is the upper one, or the left one where it lies
};

class Placer {
 public:
  Placer(const Harness& harness, const std::vector<std::vector<Shape>>& shapes, const Places& places,
         int room)
      : harness_(harness), shapes_(shapes), places_(places), room_(room) {}

  Placement place() {
    const std::size_t count = shapes_.size();
    made_.variant.assign(count, 0);
    made_.corner.assign(count, {});
    take_stock();
    seat_all();
    turn();
    int y = kMargin;
    const std::vector<std::vector<std::size_t>> rows = split(rows_of());
    std::vector<int> left = lefts_of(rows);
    const int first = left.empty() ? 0 : *std::min_element(left.begin(), left.end());
    int widest = 0;
    for (std::size_t r = 0; r < rows.size(); ++r) {
      int height = 0, above = 0, x = kMargin + left[r] - first;
      for (std::size_t part : rows[r]) above = std::max(above, cluster_of(part).above);
      for (std::size_t part : rows[r]) {
        const Cluster cluster = cluster_of(part);
        const int down = above - cluster.above;  // pots of a row stand level
        for (const auto& [member, at] : cluster.members) made_.corner[member] = {x + at.x, y + at.y + down};
        x += cluster.width + gap(part);
        height = std::max(height, cluster.height + down);
      }
      widest = std::max(widest, x);
      y += height + kRowGap + room_ + leads_of(rows[r]) / kLeadsToARow;
    }
    made_.width = widest + kBeyond + 2 * room_;
    made_.height = y + kBeyond;
    return std::move(made_);
  }

 private:
  struct Cluster {
    int width = 0, height = 0;
    int above = 0;  // of its height, what stands over the part itself
    std::vector<std::pair<std::size_t, Cell>> members;
  };

  const Part& part(std::size_t index) const { return harness_[PartId{static_cast<std::uint32_t>(index)}]; }
  const PlacedPart& shape(std::size_t index) const { return shapes_[index][made_.variant[index]].part; }
  int gap(std::size_t) const { return kGap + room_; }

  // Which way parts face. A switch of few lugs shows them all to the controls at its right, and the bridge looks down to them.
  void turn() {
    constexpr std::size_t kFew = 6;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (given(p) || seats_[p]) continue;
      const std::size_t lugs = part(p).points.size();
      const bool few = part(p).kind == PartKind::Switch && lugs > 2 && lugs <= kFew;
      if (few || at_the_bridge(harness_, part(p))) made_.variant[p] = shapes_[p].size() - 1;
    }
  }

  // ---- what sits on what

  void seat_all() {
    seats_.assign(shapes_.size(), std::nullopt);
    riders_.assign(shapes_.size(), {});
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (given(p)) continue;
      if (part(p).pot && part(p).pot->gang) {
        riders_[part(p).pot->gang->index].push_back(p);
        seats_[p] = Seat{part(p).pot->gang->index, Seat::Place::Right, false};
      } else if (part(p).mounted) {
        // One shaft has one place: that of the pot whose case it comes through.
        const auto& pot = harness_[*part(p).mounted].pot;
        const std::size_t on = (pot->gang ? *pot->gang : *part(p).mounted).index;
        riders_[on].push_back(p);
        seats_[p] = Seat{on, Seat::Place::Above, false};
        made_.variant[p] = shapes_[p].size() - 1;
      } else if (stands_in(p)) {
        continue;
      } else if (part(p).kind == PartKind::Capacitor || part(p).kind == PartKind::Resistor) {
        seats_[p] = seat_of(p);
        if (!seats_[p]) continue;
        riders_[seats_[p]->on].push_back(p);
        const std::size_t lying = shapes_[p].size() - 2;
        made_.variant[p] = (seats_[p]->place == Seat::Place::Below ? lying : 0) + (seats_[p]->turned ? 1 : 0);
      }
    }
  }

  // A resistor in a pickup's place, as on a practice card.
  bool stands_in(std::size_t p) const {
    return part(p).kind == PartKind::Resistor &&
           says(part(p).name, {"neck", "front", "middle", "centre", "center", "bridge", "rear", "pickup"});
  }

  bool given(std::size_t part) const { return part < places_.size() && places_[part].has_value(); }

  // The part that one end is soldered to by itself: the first pot, switch or jack that a joint joins it to.
  std::optional<Seat> seat_of(std::size_t p) const {
    const Part& own = part(p);
    std::array<std::vector<PointId>, 2> at;  // what each end is joined to
    for (const Blob& blob : harness_.blobs()) {
      std::vector<PointId> all = blob.leads;
      all.push_back(blob.surface);
      for (std::size_t end = 0; end < 2; ++end) {
        if (std::find(all.begin(), all.end(), own.points[end]) == all.end()) continue;
        for (PointId point : all) {
          if (point != own.points[end] && harness_[point].part) at[end].push_back(point);
        }
      }
    }
    const auto carries = [&](PointId point) {
      const Part& other = harness_[*harness_[point].part];
      return (other.kind == PartKind::Pot && !other.pot->gang) || other.kind == PartKind::Switch ||
             other.kind == PartKind::Jack;
    };
    const auto is_case = [&](PointId point) {
      const Part& other = harness_[*harness_[point].part];
      return other.kind == PartKind::Pot && other.points.back() == point;
    };
    // Both ends on one part first, then a lug, then a case.
    std::optional<Seat> best;
    int best_rank = -1;
    for (std::size_t end = 0; end < 2; ++end) {
      for (PointId point : at[end]) {
        if (!carries(point)) continue;
        const std::size_t on = harness_[point].part->index;
        const auto& others = at[1 - end];
        const bool both = std::any_of(others.begin(), others.end(),
                                      [&](PointId other) { return harness_[other].part->index == on; });
        const int rank = (both ? 2 : 0) + (is_case(point) ? 0 : 1);
        if (rank <= best_rank) continue;
        best_rank = rank;
        const Part& pot = harness_[PartId{static_cast<std::uint32_t>(on)}];
        if (const auto far = both ? other_lug(pot, point, others) : std::nullopt) {
          // Seen from behind lug 3 is the left one.
          const auto place = [&](PointId lug) {
            return lug == pot.pot->lug3 ? 0 : lug == pot.pot->lug2 ? 1 : 2;
          };
          best = Seat{on, Seat::Place::Below, (place(point) < place(*far)) == (end == 1)};
          continue;
        }
        const bool to_case = std::any_of(others.begin(), others.end(), is_case) || is_case(point);
        const bool case_first =
            end == 0 ? is_case(point) : std::any_of(others.begin(), others.end(), is_case);
        best = Seat{on, to_case ? Seat::Place::Right : Seat::Place::Left, !case_first};
      }
    }
    return best;
  }

  // The lug of a pot among these points that is not this one, where this is a lug of it too.
  std::optional<PointId> other_lug(const Part& pot, PointId lug, const std::vector<PointId>& points) const {
    const auto is_lug = [&](PointId point) {
      return pot.kind == PartKind::Pot &&
             (point == pot.pot->lug1 || point == pot.pot->lug2 || point == pot.pot->lug3);
    };
    if (!is_lug(lug)) return std::nullopt;
    for (PointId point : points) {
      if (is_lug(point) && point != lug) return point;
    }
    return std::nullopt;
  }

  // A part with what sits on it.
  Cluster cluster_of(std::size_t p) const {
    using Place = Seat::Place;
    constexpr int kApart = 3, kBeside = 2, kBelow = 5;
    const int own = shape(p).width;
    std::map<Place, int> width;
    int above = 0, tallest = 0;
    for (std::size_t rider : riders_[p]) {
      const Place place = seats_[rider]->place;
      width[place] += shape(rider).width + (place == Place::Left || place == Place::Below ? kApart : kBeside);
      if (place == Place::Above) above = std::max(above, shape(rider).height + kBeside);
    }
    if (width[Place::Below] > 0) width[Place::Below] -= kApart;
    // What lies below may stand out on both sides.
    const int out = std::max(0, (width[Place::Below] - own) / 2);
    const int left = std::max(width[Place::Left], out);
    std::map<Place, int> x{{Place::Left, left - width[Place::Left]},
                           {Place::Right, left + own + kBeside},
                           {Place::Below, left + (own - width[Place::Below]) / 2},
                           {Place::Above, left + (own - width[Place::Above] + kBeside) / 2}};
    Cluster cluster;
    cluster.members.push_back({p, {left, above}});
    tallest = above + shape(p).height;
    for (std::size_t rider : riders_[p]) {
      const Place place = seats_[rider]->place;
      const int y = place == Place::Above   ? 0
                    : place == Place::Below ? above + shape(p).height + kBelow
                                            : above + lift_of(p, rider);
      cluster.members.push_back({rider, {std::max(0, x[place]), y}});
      x[place] += shape(rider).width + (place == Place::Left || place == Place::Below ? kApart : kBeside);
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

  // What decides the form of the whole.
  struct Stock {
    std::size_t pots = 0, volumes = 0, modules = 0;
  };

  void take_stock() {
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      const bool pot = part(p).pot && !part(p).pot->gang;
      has_.pots += pot;
      has_.volumes += pot && says(part(p).name, {"vol"});
      has_.modules += part(p).kind == PartKind::Module;
    }
  }

  bool two_decks() const { return has_.pots >= kTwoDecks; }

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
        return one.points.size() == 2 ? 70
                                      : 0;  // a selector before the pots, a button or a split behind them
      case PartKind::Pot:
        return (says(one.name, {"tone"}) ? 50 : 10) + 10 * rank_of(one.name);
      default:
        return 10 * rank_of(one.name);
    }
  }

  std::vector<std::vector<std::size_t>> rows_of() const {
    std::map<int, std::vector<std::size_t>> rows;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (seats_[p]) continue;
      rows[given(p) ? places_[p]->second : static_cast<int>(band_of(p))].push_back(p);
    }
    std::vector<std::vector<std::size_t>> made;
    for (auto& [y, row] : rows) {
      const auto key = [&](std::size_t p) {
        return std::pair(given(p) ? -1 : order_in_row(p), given(p) ? int{places_[p]->first} : 0);
      };
      std::stable_sort(row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
      made.push_back(std::move(row));
    }
    return made;
  }

  std::vector<std::vector<std::size_t>> split(const std::vector<std::vector<std::size_t>>& rows) const {
    std::vector<std::vector<std::size_t>> made;
    for (const auto& row : rows) {
      made.emplace_back();
      for (std::size_t p : row) {
        std::vector<std::size_t> longer = made.back();
        longer.push_back(p);
        if (!made.back().empty() && width_of(longer) > kWidestRow && !given(p)) {
          made.push_back({p});
        } else {
          made.back() = std::move(longer);
        }
      }
    }
    return made;
  }

  // Rows lie with their middles below each other, each without what stands at its end by itself: the bridge beside the
  // pickups, the jack at the side.
  std::vector<int> lefts_of(const std::vector<std::vector<std::size_t>>& rows) const {
    std::vector<int> left;
    int rim = 0;
    for (const auto& row : rows) {
      std::vector<std::size_t> core;
      for (std::size_t p : row) {
        if (!aside(p)) core.push_back(p);
      }
      const int width = width_of(core);
      left.push_back(core.empty() ? std::max(0, rim - kJackIn) : -width / 2);
      if (!core.empty()) rim = std::max(rim, width - width / 2);
    }
    return left;
  }

  bool aside(std::size_t p) const {
    if (given(p)) return false;
    return part(p).kind == PartKind::Jack || at_the_bridge(harness_, part(p));
  }

  int width_of(const std::vector<std::size_t>& row) const {
    int width = 0;
    for (std::size_t p : row) width += (width > 0 ? gap(p) : 0) + cluster_of(p).width;
    return width;
  }

  // Points whose wires leave a row downwards.
  int leads_of(const std::vector<std::size_t>& row) const {
    std::size_t count = 0;
    for (std::size_t p : row) count += part(p).points.size();
    return static_cast<int>(count);
  }

  const Harness& harness_;
  const std::vector<std::vector<Shape>>& shapes_;
  const Places& places_;
  int room_;
  Stock has_;
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
