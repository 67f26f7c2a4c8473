// From probe to probe, through all openings: an order, and what no other undercuts. Private to this room.
#pragma once

#include <vector>

#include "plan/inside/bound.h"
#include "plan/inside/outlook.h"
#include "plan/inside/route.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

struct Way {
  std::vector<RouteChoice> choices;
  Bound bound;
};

// Whether a way's bounds are wanted: for a plan that is only compared they are not.
enum class Bounds { Sought, LeftOut };

// A way that shows all of `wanted`. Everything the plug can show comes first: what is read outside is the plan from outside.
Way find_way(const Harness& harness, const PlanOptions& options, const Outlook& outlook, Bounds bounds,
             const Reached& reached, const FaultSet& wanted);

// The seconds that these choices take one after the other, from the instrument as it came.
double seconds_along(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
                     const std::vector<RouteChoice>& choices);

}  // namespace lugwise::plan::inside
