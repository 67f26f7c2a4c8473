// The instrument: what an ohmmeter's display makes of a resistance, and which range to take.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "harness/ohms.h"

namespace lugwise {

struct Range {
  Ohms top = 0;        // 200, 2000, ...: what the range is called
  double share = 0;    // accuracy: share of the reading,
  double digits = 0;   // plus so many of the last digit
};

struct Meter {
  int counts = 2000;
  std::vector<Range> ranges;     // rising
  bool automatic = false;        // chooses its range itself
  Ohms leads_low = 0;            // what the display shows with the tips together: at least,
  Ohms leads_high = 0.5;         // and at most
  Ohms beeps_below = 40;         // the beeper sounds below this
  Ohms cable = 0;                // the test cable, both conductors
  bool assumed = false;          // nobody named a meter

  // One of the last digit on a range.
  Ohms step(const Range& range) const { return range.top / counts; }

  const Range* find_range(Ohms top) const;  // none: no such range
};

// The meter taken where nobody names one: 2000 counts, 200 ohms to 20 megohms, 0.8 % + 2 digits, leads 0.3.
Meter assumed_meter();

// What the display may show of a resistance, before rounding to its last digit: leads and accuracy included.
// `plugs` is how many of the two probes touch the far end of the test cable: each adds half the cable.
struct Window {
  Ohms low = 0;
  Ohms nominal = 0;
  Ohms high = 0;
};
Window window(const Meter& meter, const Range& range, const Band& ohms, int plugs = 0);

// The lowest range that surely holds a resistance of at most `high` with leads and accuracy; the top one if none does.
const Range& range_for(const Meter& meter, Ohms high, int plugs = 0);

// Whether a displayed value is above the range: what the display then says is OL.
bool over_range(const Meter& meter, const Range& range, Ohms shown);

// What stands on the display, in the unit of the range: "6.71k", "0.4", "OL".
std::string display(const Meter& meter, const Range& range, Ohms shown);

// A range as it is written on the dial: "200", "20k", "2M".
std::string range_name(Ohms top);

// A resistance in ordinary notation with three or four figures: "6.71 kΩ", "0.045 Ω".
std::string in_words(Ohms ohms);

}  // namespace lugwise
