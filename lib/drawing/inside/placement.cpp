#include "drawing/inside/placement.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace lugwise::inside {
namespace {

constexpr int kMargin = 4;            // cells to the left of and above everything, for wires
constexpr int kBeyond = 14;           // to the right and below; what stays empty is cut off later
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

// What two-ended parts are soldered to: the part, and on which of its sides they stand.
struct Seat {
  std::size_t on = 0;
  bool to_the_case = false;  // one end on a case: it stands at the right, by the case
  bool turned = false;       // its second end is the upper one
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
    seat_all();
    turn_switches();
    int y = kMargin;
    std::vector<std::vector<std::size_t>> rows = split(rows_of());
    int widest = 0;
    for (const auto& row : rows) widest = std::max(widest, width_of(row));
    for (const auto& row : rows) {
      int height = 0, x = kMargin + (widest - width_of(row)) / 2;
      for (std::size_t part : row) {
        const Cluster cluster = cluster_of(part);
        for (const auto& [member, at] : cluster.members) made_.corner[member] = {x + at.x, y + at.y};
        x += cluster.width + gap(part);
        height = std::max(height, cluster.height);
      }
      y += height + 5 + room_ + leads_of(row) / 4;
    }
    made_.width = kMargin + widest + kBeyond + 2 * room_;
    made_.height = y + kBeyond;
    return std::move(made_);
  }

 private:
  struct Cluster {
    int width = 0, height = 0;
    std::vector<std::pair<std::size_t, Cell>> members;
  };

  const Part& part(std::size_t index) const { return harness_[PartId{static_cast<std::uint32_t>(index)}]; }
  const PlacedPart& shape(std::size_t index) const { return shapes_[index][made_.variant[index]].part; }
  int gap(std::size_t) const { return 4 + room_; }

  // A switch of few lugs shows them all to the controls at its right.
  void turn_switches() {
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (part(p).kind == PartKind::Switch && !given(p) && part(p).points.size() == 3)
        made_.variant[p] = shapes_[p].size() - 1;
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
        seats_[p] = Seat{part(p).pot->gang->index, false, false};
      } else if (part(p).kind == PartKind::Capacitor || part(p).kind == PartKind::Resistor) {
        seats_[p] = seat_of(p);
        if (!seats_[p]) continue;
        riders_[seats_[p]->on].push_back(p);
        made_.variant[p] = seats_[p]->turned ? 1 : 0;
      }
    }
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
        const bool to_case = std::any_of(others.begin(), others.end(), is_case) || is_case(point);
        const bool case_first =
            end == 0 ? is_case(point) : std::any_of(others.begin(), others.end(), is_case);
        best = Seat{on, to_case, !case_first};
      }
    }
    return best;
  }

  // A part with what sits on it: ganged pots, then what stands by its case at the right, the rest at the left.
  Cluster cluster_of(std::size_t p) const {
    Cluster cluster;
    int left = 0, right = 0, tallest = shape(p).height;
    for (std::size_t rider : riders_[p]) {
      const bool beside = seats_[rider]->to_the_case || part(rider).pot;
      (beside ? right : left) += shape(rider).width + (beside ? 2 : 3);
      tallest = std::max(tallest, shape(rider).height + lift_of(p, rider));
    }
    int x = 0;
    for (std::size_t rider : riders_[p]) {
      if (seats_[rider]->to_the_case || part(rider).pot) continue;
      cluster.members.push_back({rider, {x, lift_of(p, rider)}});
      x += shape(rider).width + 3;
    }
    cluster.members.push_back({p, {left, 0}});
    x = left + shape(p).width + 2;
    for (std::size_t rider : riders_[p]) {
      if (!(seats_[rider]->to_the_case || part(rider).pot)) continue;
      cluster.members.push_back({rider, {x, lift_of(p, rider)}});
      x += shape(rider).width + 2;
    }
    cluster.width = left + shape(p).width + right;
    cluster.height = tallest;
    return cluster;
  }

  // How far a rider's top is below its part's.
  int lift_of(std::size_t p, std::size_t rider) const {
    return std::max(0, shape(p).height - shape(rider).height - (part(p).kind == PartKind::Pot ? 2 : 0));
  }

  // ---- rows

  Band band_of(std::size_t p, bool two_decks) const {
    const Part& one = part(p);
    switch (one.kind) {
      case PartKind::Pickup:
        return Band::Pickups;
      case PartKind::Pot:
        return two_decks && says(one.name, {"tone"}) ? Band::Tones : Band::Controls;
      case PartKind::Jack:
        return two_decks ? Band::Tones : Band::Controls;
      case PartKind::Switch:
        return Band::Controls;
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
        return 0;
      case PartKind::Pot:
        return (says(one.name, {"tone"}) ? 50 : 10) + 10 * rank_of(one.name);
      default:
        return 10 * rank_of(one.name);
    }
  }

  std::vector<std::vector<std::size_t>> rows_of() const {
    std::size_t pots = 0;
    for (std::size_t p = 0; p < shapes_.size(); ++p) pots += part(p).pot && !part(p).pot->gang;
    const bool two_decks = pots >= kTwoDecks;
    std::map<int, std::vector<std::size_t>> rows;
    for (std::size_t p = 0; p < shapes_.size(); ++p) {
      if (seats_[p]) continue;
      rows[given(p) ? places_[p]->second : static_cast<int>(band_of(p, two_decks))].push_back(p);
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
  Placement made_;
  std::vector<std::optional<Seat>> seats_;
  std::vector<std::vector<std::size_t>> riders_;
};

}  // namespace

Placement place_parts(const Harness& harness, const Hookup&, const std::vector<std::vector<Shape>>& shapes,
                      const Places& places, int room) {
  return Placer(harness, shapes, places, room).place();
}

}  // namespace lugwise::inside
