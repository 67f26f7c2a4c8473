// What do readings with one lead off show that no other reading does? Private to this room.
#pragma once

#include <vector>

#include "plan/inside/survey.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

// Adds to a plan, at its end: a lead off, the readings, sweeps and capacitances that then show what `covered` has not, the
// lead back on, and a reading that proves its joint. One lead at a time, as few of them as show all that any would; that
// which shows the most for its seconds comes first. The answer is what all this shows, as indices into Plan::faults.
std::vector<std::size_t> add_lifts(const Harness& harness, const std::vector<Survey>& surveys,
                                   const FaultSet& covered, Plan& plan);

}  // namespace lugwise::plan::inside
