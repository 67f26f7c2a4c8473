// What does a stop add to a plan at least, wherever it is put in? Private to this room.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/inside/delay.h"

namespace lugwise::plan::inside {

// What a plan makes use of already: whatever else a further stop does, each point, place and range that is new costs a move, a
// turn or a change.
struct Used {
  std::vector<char> points, ranges;
  std::vector<int> turns;  // by setting: how many of its places are new
};

class Novelty {
 public:
  // `after` is where the hands are before the first stop; nothing: as the instrument came.
  Novelty(const Harness& harness, const Costs& costs, const std::vector<Setting>& settings,
          const Visit* after);

  Used used_by(const Stops& stops, const Order& order) const;

  // Seconds that no place of the order costs less than. A sweep may do a turn that had to be done anyway.
  double least_added(const Stop& stop, const Used& used) const {
    const int moves = (used.points[stop.a.index] ? 0 : 1) + (used.points[stop.b.index] ? 0 : 1);
    const int turns = stop.left == stop.setting ? used.turns[stop.setting] : -1;
    return stop.seconds + costs_.move_probe * moves + costs_.turn_control * turns +
           (used.ranges[stop.range & 255U] ? 0 : costs_.change_range);
  }

 private:
  const Costs& costs_;
  const Visit* after_;
  std::size_t points_ = 0, settings_ = 0, most_places_ = 0;
  std::vector<std::vector<std::uint32_t>> places_;  // by control, by setting: its number; 0 is where it rests
};

}  // namespace lugwise::plan::inside
