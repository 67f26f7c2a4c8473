// Where the dial of the meter goes.
#pragma once

#include "expectation/expectation.h"
#include "meter/meter.h"

namespace lugwise {

// The range to turn it to for a reading that should come out so: the lowest that surely holds it; the top one where it is open,
// or nobody knows how much it may be. `plugs` as plugs_among() has it. The range is the meter's own, and there as long as that
// is; throws std::logic_error where it has none.
const Range& range_to_take(const Meter& meter, const Expected& expected, int plugs);

}  // namespace lugwise
