// What a quick plan shows: most of what is likely, in much less time. Private to this room.
#pragma once

#include <vector>

#include "plan/inside/outlook.h"
#include "plan/inside/route.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

// Of all that these choices show, in their order, what is left once those are given up that show the least for the seconds
// they take, as long as the rest shows enough of what is likely.
FaultSet essentials_of(const Harness& harness, const PlanOptions& options, const Outlook& outlook,
                       std::vector<RouteChoice> choices);

}  // namespace lugwise::plan::inside
