// One reading beside what a sound harness would show. Private to this room.
#pragma once

#include "diagnosis/diagnosis.h"
#include "dictionary/dictionary.h"

namespace lugwise::diagnosis::inside {

// `circuit` is the sound one it was taken in, `expected` what that shows between the two points.
Comparison compare_in(const Circuit& circuit, const Expected& expected, const Harness& harness,
                      const Observation& observation, const DiagnosisOptions& options);

// Whether the reading may stand there where the probes find so much, whatever the tolerances; not asked of what is
// watched. `sound` is the reading beside a sound harness.
bool can_show(const Harness& harness, const Meter& meter, const Observation& observation,
              const Comparison& sound, const Found& found);

// The far ends of the test cable among two probes.
int plugs_among(const Harness& harness, const Observation& observation);

State state_of(const Observation& observation, const DiagnosisOptions& options);

// An OL that agrees only because its range is too low to show what a sound harness reads, where the meter has one that is
// not: it says next to nothing.
bool says_too_little(const Harness& harness, const Meter& meter, const Observation& observation,
                     const Comparison& comparison);

// Whether two readings at one place may both be right: the same number within a tenth, OL and a number above its range.
bool may_both_be(const Meter& meter, const Observation& earlier, const Observation& later);

}  // namespace lugwise::diagnosis::inside
