// What a harness and a meter could have shown.
#pragma once

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "sheet/observation.h"

namespace lugwise::session::inside {

// Whether a reading, and the ends of a sweep, are as in a sound harness.
bool is_sound(const Harness& harness, const Observation& seen, const DiagnosisOptions& options);

// Whether a meter could have shown this reading.
bool could_show(const Meter& meter, const Observation& seen);

}  // namespace lugwise::session::inside
