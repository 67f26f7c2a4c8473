// One reading beside what a sound harness would show, in words.
#pragma once

#include <string>

#include "diagnosis/diagnosis.h"
#include "meter/meter.h"
#include "report/inside/shown.h"

namespace lugwise::report {
inline namespace inside {

// What a sound harness shows there: ohms, or farads where the reading was of those.
Shown of_sound(const Meter& meter, const Comparison& comparison);

// "agrees", or how far the display is off: "WRONG, 89 % above the highest"; then the value at 20 degrees C where another
// temperature is known.
std::string judged(const Meter& meter, const Observation& observation, const Comparison& comparison);

}  // namespace inside
}  // namespace lugwise::report
