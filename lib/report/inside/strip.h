// The readings of one step of a batch against its limits, as a line of characters and as a picture.
#pragma once

#include <string>

#include "batch/batch.h"

namespace lugwise::report {
inline namespace inside {

// "   |  o 2oo o   |  ": the limits, and a unit's reading each, or how many lie there. Empty where nothing has a place.
std::string strip_as_text(const Batch& batch, const StepSeries& series);

// An SVG with the same, the limits in the digits of the display below their bars; a unit that did not pass is hollow, and each says
// which it is where it is pointed at.
std::string strip_as_svg(const Meter& meter, const Batch& batch, const StepSeries& series);

}  // namespace inside
}  // namespace lugwise::report
