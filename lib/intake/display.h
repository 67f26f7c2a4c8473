// What a technician's way of writing what a meter shows means: `7.41k`, `OL`, `no beep`.
#pragma once

#include <string_view>

#include "intake/value.h"
#include "meter/meter.h"
#include "sheet/sheet.h"

namespace lugwise {

// What stands on a display or is heard from the beeper: `7.41k`, `7,41 k`, `47.2n`, `OL`, `no beep`, `unstable`.
struct Shown {
  Shows shows = Shows::Value;
  double value = 0;       // Value only
  double resolution = 0;  // one of the last digit as typed
  bool bare = false;      // typed without point and letter, so trailing zeros say nothing
  bool farads = false;    // what a capacitance range shows; else ohms
};
Parsed<Shown> parse_reading(std::string_view text);

// The same on a meter that may say "above the range" in a way of its own: `1 .` is OL where its file says `over: 1 .`.
Parsed<Shown> parse_display(std::string_view text, const Meter& meter);

}  // namespace lugwise
