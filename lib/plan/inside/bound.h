// How few readings, and how little time, could any plan with the same coverage take? Private to this room.
#pragma once

#include <vector>

#include "plan/inside/route.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

struct Bound {
  int readings = 0;
  bool exact = false;  // some choice of probes needs no more readings
  double seconds = 0;
};

// Of all that shows `wanted` with candidates of these surveys, in any order. Where something went before, the hands may have
// been left anywhere. docs/plan.md has the proof.
Bound bound_of(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
               const RouteStretch& stretch, const FaultSet& wanted);

}  // namespace lugwise::plan::inside
