// Which probes, in which order, show everything with the least handling? Private to this room.
//
// Choice and order are sought together: a plan is taken apart by a third again and again, mended with what costs the
// least where it fits best, and put in order; the best is kept. The same input gives the same route.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/inside/legs.h"
#include "plan/inside/stops.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

// Probes in order that show all of `wanted`, which the candidates of these surveys show together. Where a fault is shown too
// late, after something was opened for nothing, that counts as time too.
std::vector<RouteChoice> route(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
                               const RouteStretch& stretch, const std::vector<Fault>& faults,
                               const FaultSet& wanted, const Reached& reached = {});

// A choice as the hands make it.
Visit visit_of(const Costs& costs, const std::vector<Survey>& surveys, const RouteChoice& choice);

}  // namespace lugwise::plan::inside
