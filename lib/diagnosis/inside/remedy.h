// What the trade does about a fault. Private to this room.
#pragma once

#include <string>

#include "fault/fault.h"

namespace lugwise::diagnosis::inside {

// A sentence or two, in the imperative: common practice, no source.
std::string remedy(const Harness& harness, const Fault& fault);

// The same of a coil, a track, a resistor or a capacitor that was wrong with its lead off.
std::string remedy_of_measured_alone(const Fault& fault);

// The same in a word or two: "reflow", "exchange them".
std::string remedy_in_short(const Harness& harness, const Fault& fault);

}  // namespace lugwise::diagnosis::inside
