// How much a reading can be expected to tell, in bits, before it is taken: what splits the faults that still stand tells much,
// what would read the same under all of them nothing. Private to this room.
#pragma once

#include <optional>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"

namespace lugwise::exercise::inside {

// Bits. A probe that could be expected to tell less than this tells nothing. A judgement.
inline constexpr double kNothing = 0.02;

// Of a reading, sweep or wiggle at the place of `probe`, given what `known` leaves standing: the information of what the
// display may show about which of it is there. Two displays count as different where they are further apart than parts of one
// kind differ; a sweep shows its two stops and whether it jumps.
double expected_bits(const Harness& harness, const DiagnosisOptions& options, const Diagnosis& known,
                     const Observation& probe);

}  // namespace lugwise::exercise::inside
