// Steps and readings by where they are taken.
#pragma once

#include "harness/harness.h"
#include "plan/plan.h"
#include "sheet/observation.h"

namespace lugwise {

// Whether a step is answered by what a meter shows.
bool takes_reading(const Step& step);

// What a reading at this step is of, with nothing read yet.
Observation spot_of(const Harness& harness, const Step& step);

// Whether two readings may have been taken on one range.
bool same_range(const Observation& x, const Observation& y);

}  // namespace lugwise
