// Readings that were taken or written down wrongly, and readings of which only limits are known. Private to this room.
#pragma once

#include "diagnosis/diagnosis.h"
#include "dictionary/dictionary.h"

namespace lugwise::diagnosis::inside {

// The chance that a reading was taken or written down wrongly: a judgement.
inline constexpr double kSlip = 0.01;
double log_slip();

// The log of the chance, or of the density in ohms, that a slip shows just this: half of them are OL, as a tip touched
// nothing; the rest show a number, evenly by decades from a tenth of an ohm to 20 megohms, or, by log_of_decade(), the
// right one on a range misread.
double log_of_anything(const Meter& meter, const Observation& observation);

// The same of a number that was right but for a range misread: so many times ten too much or too little, where it should
// be about `mean`.
double log_of_decade(double value, double mean, double variance);

// How likely a reading is between limits, a slip allowed for: evenly by decades from the least to the most.
double log_within(const Harness& harness, const Meter& meter, const Observation& observation,
                  const Comparison& sound, const Found& found);

}  // namespace lugwise::diagnosis::inside
