// What an ear notices; judgements all, no source. Private to this room.
#pragma once

#include <vector>

#include "hearing/hearing.h"

namespace lugwise::hearing::inside {

inline constexpr double kSilent = 0.03;   // of what it should be: 30 dB down
inline constexpr double kQuieter = 0.7;   // 3 dB down
inline constexpr double kAudible = 0.05;  // of what a pickup makes

// A pickup is faintly heard from here on, and bleeds until it counts as on; by what was there before, at least.
inline constexpr double kFaint = 0.02;
inline constexpr double kOn = 2 * kAudible;

// In the order in which their coils come.
std::vector<PartId> pickups_of(const Hearing& hearing);

}  // namespace lugwise::hearing::inside
