#include "intake/inside/quantity.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>

namespace lugwise::intake::inside {

namespace {

constexpr std::size_t kLongestNumber = 24;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Also the spaces that don't break a line, which pasted text has between a number and its unit.
constexpr std::array<std::string_view, 5> kSpaces{" ", "\t", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89"};

// The bytes of the multiplier letter at the start of a text: R k K m M G p n u and both micro signs; 0 if none.
std::size_t multiplier_length(std::string_view text) {
  if (text.empty()) return 0;
  if (std::string_view("RkKmMGpnuF").find(text.front()) != std::string_view::npos) return 1;
  if (text.starts_with("\xC2\xB5") || text.starts_with("\xCE\xBC")) return 2;
  return 0;
}

}  // namespace

std::string_view trim(std::string_view text) {
  for (bool changed = true; changed;) {
    changed = false;
    for (const std::string_view space : kSpaces) {
      if (text.starts_with(space)) {
        text.remove_prefix(space.size());
        changed = true;
      }
      if (text.ends_with(space)) {
        text.remove_suffix(space.size());
        changed = true;
      }
    }
  }
  return text;
}

std::string lower(std::string_view text) {
  std::string low(text);
  for (char& c : low) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return low;
}

double decimal(const std::string& digits) {
#ifdef __cpp_lib_to_chars
  double number = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), number);
  return number;
#else
  return std::strtod(digits.c_str(), nullptr);  // both round to the nearest
#endif
}

std::optional<Quantity> split(std::string_view text) {
  text = trim(text);
  Quantity found;
  std::size_t i = 0;
  while (i < text.size() && is_digit(text[i])) ++i;
  const std::size_t whole = i;
  std::string digits(text.substr(0, whole));
  if (i < text.size() && text[i] == '.') {
    found.point = true;
    ++i;
    const std::size_t start = i;
    while (i < text.size() && is_digit(text[i])) ++i;
    if (i == start) return std::nullopt;  // a point with nothing after it
    found.decimals = static_cast<int>(i - start);
    digits += "." + std::string(text.substr(start, i - start));
  }
  std::string_view rest = text.substr(i);
  const std::size_t letter = multiplier_length(rest);
  if (!found.point && letter > 0 && rest.size() > letter && is_digit(rest[letter])) {
    std::size_t end = letter;
    while (end < rest.size() && is_digit(rest[end])) ++end;
    found.point = found.lettered = true;
    found.decimals = static_cast<int>(end - letter);
    digits += "." + std::string(rest.substr(letter, end - letter));
    found.suffix = std::string(rest.substr(0, letter)) + std::string(trim(rest.substr(end)));
  } else {
    if (digits.empty()) return std::nullopt;
    found.suffix = std::string(trim(rest));
  }
  if (digits.size() > kLongestNumber) return std::nullopt;
  found.digits = digits.front() == '.' ? "0" + digits : digits;
  found.number = decimal(found.digits);
  return found;
}

double scaled(const Quantity& quantity, double multiplier) {
  const int exponent = static_cast<int>(std::lround(std::log10(multiplier)));
  return decimal(fmt::format("{}e{}", quantity.digits, exponent));
}

bool strip_unit(std::string& suffix, std::initializer_list<std::string_view> units) {
  for (const std::string_view unit : units) {
    if (!suffix.ends_with(unit)) continue;
    suffix.resize(suffix.size() - unit.size());
    suffix = std::string(trim(suffix));
    return true;
  }
  return false;
}

bool strip_ohm(std::string& suffix) {
  if (strip_unit(suffix, {"\xCE\xA9", "\xE2\x84\xA6"})) return true;
  for (const std::string_view word : {"ohms", "ohm"}) {
    if (!lower(suffix).ends_with(word)) continue;
    suffix.erase(suffix.size() - word.size());
    suffix = std::string(trim(suffix));
    return true;
  }
  return false;
}

std::optional<double> ohm_multiplier(std::string_view letter) {
  if (letter.empty() || letter == "R") return 1;
  if (letter == "k" || letter == "K") return 1e3;
  if (letter == "M") return 1e6;
  if (letter == "G") return 1e9;
  return std::nullopt;
}

std::optional<double> farad_multiplier(std::string_view letter) {
  if (letter == "p") return 1e-12;
  if (letter == "n") return 1e-9;
  if (letter == "u" || letter == "\xC2\xB5" || letter == "\xCE\xBC") return 1e-6;
  if (letter == "m") return 1e-3;
  if (letter == "F") return 1;
  return std::nullopt;
}

}  // namespace lugwise::intake::inside
