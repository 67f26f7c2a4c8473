// One reading beside what a sound harness would show. Private to this room.
#pragma once

#include "diagnosis/diagnosis.h"

namespace lugwise {

// `circuit` is the sound one it was taken in, `expected` what that shows between the two points.
Comparison compare_in(const Circuit& circuit, const Expected& expected, const Harness& harness,
                      const Observation& observation, const DiagnosisOptions& options);

State state_of(const Observation& observation, const DiagnosisOptions& options);

// An OL that agrees only because its range is too low to show what a sound harness reads: it says next to nothing.
bool says_too_little(const Observation& observation, const Comparison& comparison);

}  // namespace lugwise
