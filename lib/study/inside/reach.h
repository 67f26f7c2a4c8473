// What may a step of the plan show, whatever the tolerances? Private to this room.
#pragma once

#include "circuit/circuit.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/observation.h"

namespace lugwise::study::inside {

// From the lowest to the highest display, or OL.
struct Reach {
  bool always_over = false, maybe_over = false;
  double low = 0, high = 0;
};

Reach reach_of(const Harness& harness, const Meter& meter, const Step& step, const Circuit& circuit);

// As the plan has it.
Reach reach_if_sound(const Step& step);

// Whether no reading can be both, on this step's range.
bool apart(const Meter& meter, const Step& step, const Reach& one, const Reach& other);

// Whether all of these are below a reading, a number or OL; or above it.
bool is_below(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen);
bool is_above(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen);

// Whether a reading may be one of these.
bool may_show(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen);

}  // namespace lugwise::study::inside
