// One reading beside what a sound harness would show, in words.
#pragma once

#include <string>

#include "diagnosis/diagnosis.h"
#include "meter/meter.h"

namespace lugwise::report {

// "agrees", or how far the display is off: "WRONG, 89 % above the highest"; then the value at 20 degrees C where another
// temperature is known.
std::string judged(const Meter& meter, const Observation& observation, const Comparison& comparison);

}  // namespace lugwise::report
