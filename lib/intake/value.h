// What a technician's way of writing a value means: `4k7`, `47 nF`, `8%`, `9.5 in`, `24 °C`, and what a meter shows.
//
// Letters stand for decimal points as in IEC 60062 (`4k7`, `R47`, `2n2`). A text that is refused comes with what it
// probably means. Whether a value is a sensible one is not asked here.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "meter/meter.h"
#include "sheet/sheet.h"

namespace lugwise {

template <class T>
struct Parsed {
  std::optional<T> value;
  std::string problem;  // "not a resistance: '4.7m'"
  std::string hint;     // "did you mean '4.7M'?", or empty

  // Problem and hint in one sentence.
  std::string why() const { return hint.empty() ? problem : problem + "; " + hint; }
};

// Ohms: `220`, `4.7k`, `4k7`, `0.5M`, `R47`, `8.2 kΩ`. `m` is refused.
Parsed<Ohms> parse_ohms(std::string_view text);

// Farads: `22n`, `0.022u`, `47 nF`, `4n7`. The unit letter is needed.
Parsed<double> parse_farads(std::string_view text);

// A share: `10%` is 0.1. The sign is needed.
Parsed<double> parse_share(std::string_view text);

// Metres: `300 mm`, `30 cm`, `0.3 m`, `9.5 in`. The unit is needed.
Parsed<double> parse_length(std::string_view text);

// Volts: `9`, `9V`, `1.5 V`.
Parsed<double> parse_volts(std::string_view text);

// Degrees Celsius: `24`, `24 °C`, `-5 C`.
Parsed<double> parse_celsius(std::string_view text);

// A plain decimal number: `10`, `7.5`.
Parsed<double> parse_number(std::string_view text);

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

// Why a meter could not have shown this, or nothing: finer than the range shows, above the range, no such range.
// Without a range the meter's whole set of ranges is asked, and whether any could. The ranges are those of capacitance
// where farads are shown, and `range` is in farads then.
struct ReadingProblem {
  enum class Kind { NoSuchRange, TooManyDigits, AboveRange } kind;
  std::string problem;
  std::string hint;
  std::optional<double> fits = {};  // the lowest other range that could have shown it, by its top

  // What to say of that other range in a readings file; else the hint.
  std::string in_file(std::string_view typed, bool of_end) const;
};
std::optional<ReadingProblem> reading_problem(const Meter& meter, std::optional<double> range,
                                              const Shown& shown, std::string_view typed);

}  // namespace lugwise
