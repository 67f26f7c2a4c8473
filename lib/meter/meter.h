// The instrument: what an ohmmeter's display makes of a resistance, and which range to take.
//
// A manual meter has ranges to choose from; a reading above the one chosen shows OL and says no more than
// that. The largest display of a range is one below the counts: 1999 of 2000 counts is 19.99k on 20k.
//
//   Meter meter = assumed_meter();
//   const Range& range = range_for(meter, 6820);                      // 20k
//   Window shown = window(meter, range, {5580, 6200, 6820});          // 5515.658 to 6894.8624
//   display(meter, range, shown.nominal);                             // "6.20k"
//
// A meter without ranges, or with counts below 2, is a programming error; intake refuses both.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "component/farads.h"
#include "component/ohms.h"

namespace lugwise {

struct Range {
  double top = 0;     // 200, 2000, ...: what the range is called; in farads where it is one of capacitance
  double share = 0;   // accuracy: share of the reading,
  double digits = 0;  // plus so many of the last digit
};

struct Meter {
  int counts = 2000;
  std::vector<Range> ranges;       // rising
  bool automatic = false;          // chooses its range itself
  Ohms leads_low = 0;              // what the display shows with the tips together: at least,
  Ohms leads_high = 0.5;           // and at most
  Ohms beeps_below = 40;           // the beeper sounds below this
  Ohms cable = 0;                  // the test cable, both conductors
  std::string over = "OL";         // what its display says above a range; display() says OL of any meter
  bool assumed = false;            // nobody named a meter
  std::vector<Range> capacitance;  // rising, in farads; empty: it measures none

  // One of the last digit on a range, in its unit.
  double step(const Range& range) const { return range.top / counts; }

  // The range with that top; none: no such range.
  const Range* find_range(Ohms top) const;
  const Range* find_capacitance(Farads top) const;
};

// The meter taken where nobody names one: 2000 counts, 200 ohms to 20 megohms, 0.8 % + 2 digits, leads 0.3.
Meter assumed_meter();

// The six ranges a meter of so many counts commonly has: 200 to 20M with 2000 counts, 400 to 40M with 4000. Throws
// std::logic_error below two counts.
std::vector<Range> usual_ranges(int counts, double share, double digits);

// How far a display may be from what is at the jacks, in the unit of the range: the share of it and the digits.
double error_bound(const Meter& meter, const Range& range, double measured);

// What the display may show of a resistance, before rounding to its last digit: leads and accuracy included.
// `plugs` is how many of the two probes touch the far end of the test cable: each adds half the cable. Never
// below zero; above the range's top where the resistance is, so ask over_range(). In the unit of the range: ohms, or farads
// on a range of capacitance.
struct Window {
  double low = 0;
  double nominal = 0;
  double high = 0;
};
Window window(const Meter& meter, const Range& range, const Band& ohms, int plugs = 0);

// The lowest range that surely holds a resistance of at most `high` with leads and accuracy; the top one if
// none does. Throws std::logic_error where the meter has no range.
const Range& range_for(const Meter& meter, Ohms high, int plugs = 0);

// Whether a displayed value is above the range once rounded to its last digit: what the display then says is
// OL.
bool over_range(const Meter& meter, const Range& range, double shown);

// Which resistances a meter surely shows otherwise than any within a band, whatever its leads and errors are within what it
// promises: all above `above`, all below `below`, and, where `open` says so, none at all. Where a sound reading may itself
// be OL nothing above it can be told; windows that share a display can't be told either.
struct Margins {
  Ohms above = std::numeric_limits<double>::infinity();
  Ohms below = -1;
  bool open = false;
};

// On that range; an automatic meter's may be any that it might choose, and `range` is not looked at.
Margins margins(const Meter& meter, const Range& range, const Band& sound, int plugs = 0);

// Of what reads OL because it is open.
Margins margins_of_open(const Meter& meter, const Range& range, int plugs = 0);

// What stands on the display, in the unit of the range: "6.71k", "0.4", "OL". Where one of the last digit is
// no power of ten (20k in 6000 counts) the decimals are those of the next finer power.
std::string display(const Meter& meter, const Range& range, Ohms shown);

// A range as it is written on the dial: "200", "20k", "2M".
std::string range_name(Ohms top);

// What a capacitance range shows of a capacitor of so many farads. The leads and the cable add nothing: their own
// picofarads are zeroed, or lost in the digits.
struct CapacitanceReading {
  Capacitance farads;
  Range range;
  Window shows;
};
CapacitanceReading capacitance_reading(const Meter& meter, const Range& range, const Capacitance& farads);

// The same on the lowest range that surely holds the highest, else the top one. Throws std::logic_error where the meter has
// no such range.
CapacitanceReading capacitance_reading(const Meter& meter, const Capacitance& farads);

// Whether an open capacitor, of which only the picofarads of its leads are left, is surely shown otherwise than a sound one.
bool tells_open(const Meter& meter, const CapacitanceReading& sound);

std::string capacitance_display(const Meter& meter, const Range& range, Farads shown);  // "47.2n", "OL"
std::string capacitance_range_name(Farads top);                                         // "200n", "2u"
std::string capacitance_in_words(Farads farads);                                        // "47 nF"

// A resistance in ordinary notation, three figures or four that begin with 1, to the milliohm: "6.71 kΩ",
// "0.045 Ω"; "open" if it is infinite.
std::string in_words(Ohms ohms);

}  // namespace lugwise
