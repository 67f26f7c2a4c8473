// What one step costs after another, and which probe stays where it is. Private to this room.
#pragma once

#include "plan/plan.h"

namespace lugwise::plan::inside {

// The seconds from the end of one step to the end of the next; no step before: from the instrument as it came.
double seconds_between(const Harness& harness, const Costs& costs, const Step* before, const Step& step);

// Puts the probe that stays first, and says whether one does.
void park(const Step* before, Step& step);

}  // namespace lugwise::plan::inside
