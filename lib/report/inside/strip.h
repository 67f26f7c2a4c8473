// The readings of one step of a batch against its limits, as a line of characters and as a picture.
#pragma once

#include <string>

#include "batch/batch.h"

namespace lugwise::report {
inline namespace inside {

// "   |  o 2oo o   |  ": the limits, and a unit's reading each, or how many lie there. Empty where nothing has a place.
std::string strip_as_text(const Batch& batch, const StepSeries& series);

// An SVG with the same; a unit that did not pass is hollow.
std::string strip_as_svg(const Batch& batch, const StepSeries& series);

}  // namespace inside
}  // namespace lugwise::report
