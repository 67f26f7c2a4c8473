// Which lugs of a switch stand for one another? Private to this room.
#pragma once

#include <utility>
#include <vector>

#include "harness/harness.h"

namespace lugwise::fault::inside {

// Two lugs that do the same in every position, such as both of a button.
bool interchangeable(const Part& part, PointId x, PointId y);

// A switch turned around does in each position what belongs to the one opposite. That is the same as what hangs on its lugs
// exchanged in pairs: these pairs, in the order of their first lugs. Empty where there are none, or too many lugs to try.
std::vector<std::pair<PointId, PointId>> opposite_lugs(const Harness& harness, const Part& part);

// Switches with more lugs are not tried.
inline constexpr std::size_t kMostLugs = 24;

}  // namespace lugwise::fault::inside
