// A typed number and the letters behind it: `4.7k`, `4k7`, `47 nF`, and what the letters of resistances and capacitors stand for.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>

namespace lugwise::intake::inside {

// Without the spaces at its ends, those too that don't break a line.
std::string_view trim(std::string_view text);

// The letters a to z as small ones.
std::string lower(std::string_view text);

// A number and what follows it: 4.7 and "k"; with a letter for a point, 4.7 and "k" too, `lettered`.
struct Quantity {
  double number = 0;
  int decimals = 0;    // digits after the point
  bool point = false;  // there was a point, or a letter for one
  bool lettered = false;
  std::string digits;  // the number as plain decimal digits
  std::string suffix;  // what follows, trimmed
};

// Nothing where the text doesn't begin with a number, or with one of more digits than anybody types.
std::optional<Quantity> split(std::string_view text);

// Plain digits, with a point among them at most, and perhaps an exponent: the nearest number.
double decimal(const std::string& digits);

// The number times a power of ten, the nearest to what was typed: 6.2k is 6200, not 6200.000000000001.
double scaled(const Quantity& quantity, double multiplier);

// Takes one of the units off the end of a suffix, and says whether it stood there: "kF" leaves "k".
bool strip_unit(std::string& suffix, std::initializer_list<std::string_view> units);

// The same for ohms: the omega of the Greek letters, that of the signs, and the word in any case.
bool strip_ohm(std::string& suffix);

// What a letter multiplies by: R k K M G, none for one; p n u m F. Nothing for another letter.
std::optional<double> ohm_multiplier(std::string_view letter);
std::optional<double> farad_multiplier(std::string_view letter);

}  // namespace lugwise::intake::inside
