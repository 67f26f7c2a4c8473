// How long from one probe to the next? Private to this room.
#pragma once

#include <cstdint>
#include <vector>

#include "handling/handling.h"

namespace lugwise::plan::inside {

// Seconds that rounding may add up to.
inline constexpr double kHair = 1e-9;

// Where the hands are during a reading or a sweep.
struct Visit {
  std::uint32_t setting = 0;  // by its number
  std::uint32_t left = 0;     // another than `setting` after a sweep
  std::uint32_t range = 0;
  PointId a, b;
  double seconds = 0;  // to read or to sweep
};

// Seconds between visits to numbered settings, as seconds_to_reach has them, by tables: they are asked for millions of times.
// Openings are not in them.
class Legs {
 public:
  Legs(const Harness& harness, const Costs& costs, const std::vector<Setting>& settings);

  // From the instrument as it came.
  double first(const Visit& visit) const {
    return visit.seconds + costs_.turn_control * first_turns_[visit.setting] + 2 * costs_.move_probe;
  }

  double between(const Visit& from, const Visit& to) const {
    const auto held = [&](PointId point) { return from.a == point || from.b == point; };
    return to.seconds + costs_.turn_control * turns(from.left, to.setting) +
           costs_.move_probe * ((held(to.a) ? 0 : 1) + (held(to.b) ? 0 : 1)) +
           (from.range == to.range ? 0 : costs_.change_range);
  }

 private:
  int turns(std::uint32_t from, std::uint32_t to) const {
    if (from == to) return 0;
    if (turns_.empty()) return turns_between(harness_, settings_[from], settings_[to]);
    return turns_[from * settings_.size() + to];
  }

  const Harness& harness_;
  const Costs& costs_;
  const std::vector<Setting>& settings_;
  std::vector<std::uint16_t> turns_;  // setting by setting; empty where there are too many
  std::vector<int> first_turns_;
};

}  // namespace lugwise::plan::inside
