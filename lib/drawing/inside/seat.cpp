#include "drawing/inside/seat.h"

#include <algorithm>
#include <array>
#include <vector>

namespace lugwise::drawing::inside {
namespace {

// The lug of a pot among these points that is not this one, where this is a lug of it too.
std::optional<PointId> other_lug(const Part& pot, PointId lug, const std::vector<PointId>& points) {
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

}  // namespace

std::optional<Seat> seat_of(const Harness& harness, PartId part) {
  const Part& own = harness[part];
  std::array<std::vector<PointId>, 2> at;  // what each end is joined to
  for (const Blob& blob : harness.blobs()) {
    std::vector<PointId> all = blob.leads;
    all.push_back(blob.surface);
    for (std::size_t end = 0; end < 2; ++end) {
      if (std::find(all.begin(), all.end(), own.points[end]) == all.end()) continue;
      for (PointId point : all) {
        if (point != own.points[end] && harness[point].part) at[end].push_back(point);
      }
    }
  }
  const auto carries = [&](PointId point) {
    const Part& other = harness[*harness[point].part];
    return (other.kind == PartKind::Pot && !other.pot->gang) || other.kind == PartKind::Switch ||
           other.kind == PartKind::Jack;
  };
  const auto is_case = [&](PointId point) {
    const Part& other = harness[*harness[point].part];
    return other.kind == PartKind::Pot && other.points.back() == point;
  };
  // Both ends on one part first, then a lug, then a case.
  std::optional<Seat> best;
  int best_rank = -1;
  for (std::size_t end = 0; end < 2; ++end) {
    for (PointId point : at[end]) {
      if (!carries(point)) continue;
      const std::size_t on = harness[point].part->index;
      const auto& others = at[1 - end];
      const bool both = std::any_of(others.begin(), others.end(),
                                    [&](PointId other) { return harness[other].part->index == on; });
      const int rank = (both ? 2 : 0) + (is_case(point) ? 0 : 1);
      if (rank <= best_rank) continue;
      best_rank = rank;
      const Part& pot = harness[PartId{static_cast<std::uint32_t>(on)}];
      if (const auto far = both ? other_lug(pot, point, others) : std::nullopt) {
        // Seen from behind lug 3 is the left one.
        const auto place = [&](PointId lug) {
          return lug == pot.pot->lug3 ? 0 : lug == pot.pot->lug2 ? 1 : 2;
        };
        best = Seat{on, Seat::Place::Below, (place(point) < place(*far)) == (end == 1)};
        continue;
      }
      const bool to_case = std::any_of(others.begin(), others.end(), is_case) || is_case(point);
      const bool case_first = end == 0 ? is_case(point) : std::any_of(others.begin(), others.end(), is_case);
      best = Seat{on, to_case ? Seat::Place::Right : Seat::Place::Left, !case_first};
    }
  }
  return best;
}

}  // namespace lugwise::drawing::inside
