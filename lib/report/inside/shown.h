// What stands on a display, as text: the one place where limits become digits or OL.
#pragma once

#include <optional>
#include <string>

#include "expectation/expectation.h"
#include "meter/meter.h"

namespace lugwise::report {
inline namespace inside {

struct Shown {
  bool over = false;  // OL, whatever the limits; then nothing below but the range means anything
  std::string low;
  std::optional<std::string> nominal;  // none where only limits are known
  std::string high;                    // may be OL
  std::string range;
  std::string above;  // what the display says above a range
};

Shown shown(const Meter& meter, const Range& range, const Expected& expected, const Window& window);

// A value in the digits of a range, or of the next that holds it.
std::string value_on(const Meter& meter, const Range& range, Ohms ohms);

// The same of a capacitance range.
Shown shown(const Meter& meter, const CapacitanceReading& reading);

// "6.71k (6.04k to 7.36k)", "OL", "5.2k or more".
std::string in_words(const Shown& shown);

}  // namespace inside
}  // namespace lugwise::report
