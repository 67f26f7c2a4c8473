// The steps of a plan as readings yet to be taken.
#pragma once

#include "harness/harness.h"
#include "plan/plan.h"
#include "sheet/observation.h"

namespace lugwise {

// Whether a step is answered by what a meter shows.
bool takes_reading(const Step& step);

// What a reading at this step is of, with nothing read yet; on the step's range, and by its number where it has one.
Observation as_observation(const Harness& harness, const Step& step);

}  // namespace lugwise
