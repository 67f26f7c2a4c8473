// Steps and readings by where they are taken.
#pragma once

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/observation.h"

namespace lugwise::inside {

// Whether a step is answered by what a meter shows.
bool takes_reading(const Step& step);

// What a reading at this step is of, with nothing read yet.
Observation place_of(const Harness& harness, const Step& step);

// Whether two readings ask the same; and whether they may have been taken on one range.
bool same_place(const Observation& x, const Observation& y);
bool same_range(const Observation& x, const Observation& y);

// Whether a reading, and the ends of a sweep, are as in a sound harness.
bool is_sound(const Harness& harness, const Observation& seen, const DiagnosisOptions& options);

// Whether a meter could have shown this reading.
bool could_show(const Meter& meter, const Observation& seen);

}  // namespace lugwise::inside
