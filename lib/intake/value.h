// What a technician's way of writing a value means: `4k7`, `47 nF`, `8%`, `9.5 in`, `24 °C`.
//
// Letters stand for decimal points as in IEC 60062 (`4k7`, `R47`, `2n2`). A text that is refused comes with what it
// probably means. Whether a value is a sensible one is not asked here.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "meter/meter.h"

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

}  // namespace lugwise
