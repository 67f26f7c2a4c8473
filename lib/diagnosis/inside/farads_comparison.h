// What readings in farads say of one capacitor. Private to this room.
//
// A capacitor is measured where nothing else lies between its ends, so such a reading speaks of that capacitor alone and
// is judged by itself.
#pragma once

#include "diagnosis/diagnosis.h"
#include "meter/meter.h"

namespace lugwise::diagnosis::inside {

// The capacitor beside what a sound one would show: `capacitance`, `agrees` and `off`.
void compare_farads(const Harness& harness, const Meter& meter, const Observation& observation,
                    Comparison& comparison);

// How probable the reading is, as a log, if the capacitor is sound, or open, shorted or far from its value.
enum class CapacitorIs { Sound, Open, Shorted, AnotherValue };
double log_of_farads(const Meter& meter, const Observation& observation, const Comparison& comparison,
                     CapacitorIs is);

// A reading in farads that anything might have caused.
double any_farads(const Observation& observation);

}  // namespace lugwise::diagnosis::inside
