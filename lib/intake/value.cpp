#include "intake/value.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <utility>
#include <vector>

#include "intake/inside/number_mark.h"
#include "text/character.h"

namespace lugwise {

using namespace intake::inside;
namespace {

constexpr std::size_t kLongestNumber = 24;

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Also the spaces that don't break a line, which pasted text has between a number and its unit.
constexpr std::array<std::string_view, 5> kSpaces{" ", "\t", "\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89"};

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

std::string quoted(std::string_view text) {
  constexpr std::size_t kShown = 40;
  if (text.size() <= kShown) return fmt::format("'{}'", text);
  return fmt::format("'{}...'", lugwise::text::first_bytes(text, kShown));
}

template <class T>
Parsed<T> refused(std::string problem, std::string hint = {}) {
  return {std::nullopt, std::move(problem), std::move(hint)};
}

std::string likely(std::string_view meant) { return fmt::format("did you mean '{}'?", meant); }

// A number and what follows it: 4.7 and "k"; with a letter for a point, 4.7 and "k" too, `lettered`.
struct Quantity {
  double number = 0;
  int decimals = 0;    // digits after the point
  bool point = false;  // there was a point, or a letter for one
  bool lettered = false;
  std::string digits;  // the number as plain decimal digits
  std::string suffix;  // what follows, trimmed
};

// Of digits with a point among them at most.
double decimal(const std::string& digits) {
#ifdef __cpp_lib_to_chars
  double number = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), number);
  return number;
#else
  return std::strtod(digits.c_str(), nullptr);  // both round to the nearest
#endif
}

// The bytes of the multiplier letter at the start of a text: R k K m M G p n u and both micro signs; 0 if none.
std::size_t multiplier_length(std::string_view text) {
  if (text.empty()) return 0;
  if (std::string_view("RkKmMGpnuF").find(text.front()) != std::string_view::npos) return 1;
  if (text.starts_with("\xC2\xB5") || text.starts_with("\xCE\xBC")) return 2;
  return 0;
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

// Takes a unit off the end of a suffix: "kΩ" leaves "k".
bool strip_unit(std::string& suffix, std::initializer_list<std::string_view> units) {
  for (const std::string_view unit : units) {
    if (!suffix.ends_with(unit)) continue;
    suffix.resize(suffix.size() - unit.size());
    suffix = std::string(trim(suffix));
    return true;
  }
  return false;
}

// The omega of the Greek letters and that of the signs, and the word in any case.
bool strip_ohm(std::string& suffix) {
  if (strip_unit(suffix, {"\xCE\xA9", "\xE2\x84\xA6"})) return true;
  for (const std::string_view word : {"ohms", "ohm"}) {
    if (!lower(suffix).ends_with(word)) continue;
    suffix.resize(suffix.size() - word.size());
    suffix = std::string(trim(suffix));
    return true;
  }
  return false;
}

// "OL", with or without its point and the unit of the range beside it: "OL", "0.L", ".OL MΩ".
bool says_over(std::string_view text) {
  std::string rest(text);
  strip_ohm(rest);
  if (rest.ends_with('k') || rest.ends_with('K') || rest.ends_with('M')) rest.pop_back();
  const std::string low = lower(trim(rest));
  for (const std::string_view word : {"ol", "o.l", "0l", "0.l", "o.l.", "ol.", ".ol", ".0l"}) {
    if (low == word) return true;
  }
  return false;
}

// With one blank between words.
std::string single_spaced(std::string_view text) {
  std::string spaced;
  for (const char c : text) {
    const char plain = c == '\t' ? ' ' : c;
    if (plain != ' ' || !spaced.ends_with(' ')) spaced += plain;
  }
  return spaced;
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

// Scales without leaving the nearest double to the typed value: 6.2k is 6200, not 6200.000000000001.
double scaled(const Quantity& quantity, double multiplier) {
  const int exponent = static_cast<int>(std::lround(std::log10(multiplier)));
  return decimal(fmt::format("{}e{}", quantity.digits, exponent));
}

template <class T>
Parsed<T> not_a(std::string_view what, std::string_view text, std::string hint = {}) {
  return refused<T>(fmt::format("not {}: {}", what, quoted(text)), std::move(hint));
}

std::string likely(const std::vector<std::string>& meant) {
  return fmt::format("did you mean '{}'?", fmt::join(meant, "' or '"));
}

std::string_view without_ends(std::string_view text) {
  constexpr std::string_view kBefore = "~=<(\"'`", kBehind = ",;:.!?)\"'`";
  while (!text.empty() && kBefore.find(text.front()) != std::string_view::npos) text.remove_prefix(1);
  while (!text.empty() && kBehind.find(text.back()) != std::string_view::npos) text.remove_suffix(1);
  return trim(text);
}

// What a text that is no value as it stands was probably meant to be; nothing where no change to its marks, letters or ends
// makes one. `parses` says what is a value.
template <class Parses>
std::string meant_by_marks(std::string_view text, const Parses& parses) {
  const std::string usual = with_usual_letters(text);
  std::vector<std::string> meant = meanings(without_ends(usual));
  std::erase_if(meant, [&](const std::string& one) { return !parses(one); });
  if (meant.size() == 2) return "a comma may part thousands or be the point: " + likely(meant);
  if (meant.size() == 1) {
    const bool comma = usual.find(',') != std::string::npos && usual.find('.') == std::string::npos;
    return (comma ? "the decimal mark is a point: " : "") + likely(meant);
  }
  const std::string bare(without_ends(usual));
  return bare != text && parses(bare) ? likely(bare) : "";
}

// A capacitor's value as people write it: 47e-9 is "47n".
std::string plain_farads(double farads) {
  for (const auto& [size, letter] : {std::pair{1e-6, "u"}, std::pair{1e-9, "n"}}) {
    if (farads >= size * 0.9999999) return fmt::format("{:.6g}{}", farads / size, letter);
  }
  return fmt::format("{:.6g}p", farads / 1e-12);
}

// Degrees are written in several ways.
bool strip_celsius(std::string& suffix) {
  return strip_unit(suffix, {"\xC2\xB0"
                             "C",
                             "\xC2\xB0 C",
                             "\xC2\xBA"
                             "C",
                             "\xE2\x84\x83", "C"});
}

Parsed<Shown> word(Shows shows) { return {Shown{shows, 0, 0, false, false}, {}, {}}; }

std::string ranges_of(const std::vector<Range>& ranges, std::string (*name)(double)) {
  std::string listed;
  for (const Range& range : ranges) listed += (listed.empty() ? "" : ", ") + name(range.top);
  return listed;
}

bool multiple_of(Ohms value, Ohms step) {
  const double times = value / step;
  return std::abs(times - std::round(times)) < 1e-6 * std::max(1.0, std::abs(times));
}

// More digits typed than the range has; where one of the last digit is no power of ten, the next finer power counts.
bool too_fine(const Meter& meter, const Range& range, const Shown& shown) {
  const Ohms step = std::pow(10.0, std::floor(std::log10(meter.step(range)) + 1e-9));
  if (shown.value == 0) return false;
  if (shown.bare) return !multiple_of(shown.value, step);
  return shown.resolution < step * 0.999 || !multiple_of(shown.value, step);
}

// The typed digits with a letter behind them that would make them fit: 6.71 is 6.71k on the 20k range.
std::string with_letter(const Meter& meter, const std::vector<Range>& ranges, const Shown& shown,
                        std::string_view typed) {
  const auto quantity = split(typed);
  if (!quantity || !quantity->suffix.empty()) return {};
  for (const auto& [size, letter] : {std::pair{1e3, "k"}, std::pair{1e6, "M"}}) {
    const Shown other{Shows::Value, shown.value * size, shown.resolution * size, false, false};
    for (const Range& range : ranges) {
      if (!over_range(meter, range, other.value) && !too_fine(meter, range, other))
        return likely(quantity->digits + letter);
    }
  }
  return {};
}

}  // namespace

Parsed<Ohms> parse_ohms(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a resistance";
  const auto quantity = split(text);
  const auto parses = [](std::string_view other) { return parse_ohms(other).value.has_value(); };
  if (!quantity) {
    const std::string usual = with_usual_letters(text);
    if (usual.starts_with('-') || usual.starts_with('+')) {
      const std::string without(trim(std::string_view(usual).substr(1)));
      return not_a<Ohms>(what, text, parses(without) ? "a resistance has no sign: " + likely(without) : "");
    }
    const std::string meant = meant_by_marks(text, parses);
    return not_a<Ohms>(what, text, meant.empty() ? "write '220', '4.7k' or '0.5M'" : meant);
  }
  std::string suffix = quantity->suffix;
  strip_ohm(suffix);
  if (const auto multiplier = ohm_multiplier(suffix)) return {scaled(*quantity, *multiplier), {}, {}};
  if (suffix == "m") {
    return not_a<Ohms>(what, text, "'m' is a thousandth: " + likely(quantity->digits + "M"));
  }
  if (suffix == "r") return not_a<Ohms>(what, text, likely(quantity->digits));
  const std::string low = lower(suffix);
  if (low == "meg") return not_a<Ohms>(what, text, likely(quantity->digits + "M"));
  if (low == "kk" || low == "ko") {
    return not_a<Ohms>(what, text, likely(quantity->digits + "k"));
  }
  if (low == "o" || low == "e") return not_a<Ohms>(what, text, likely(quantity->digits));
  if (strip_unit(suffix, {"F"}) || farad_multiplier(suffix)) {
    return not_a<Ohms>(what, text, "that is how a capacitor's value is written");
  }
  const std::string meant = meant_by_marks(text, parses);
  return not_a<Ohms>(what, text, meant.empty() ? "write '220', '4.7k' or '0.5M'" : meant);
}

Parsed<double> parse_farads(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a capacitor's value";
  const auto quantity = split(text);
  const std::string meant_so =
      meant_by_marks(text, [](std::string_view other) { return parse_farads(other).value.has_value(); });
  const std::string otherwise = meant_so.empty() ? "write '22n', '0.022u' or '680p'" : meant_so;
  if (!quantity) return not_a<double>(what, text, otherwise);
  std::string suffix = quantity->suffix;
  const bool lettered_unit = quantity->lettered && suffix == "F";
  if (suffix.size() > 1 && !lettered_unit) strip_unit(suffix, {"F"});
  if (const auto multiplier = farad_multiplier(suffix)) return {scaled(*quantity, *multiplier), {}, {}};
  if (suffix.empty()) {
    // A bare number: below one it is microfarads, three figures are the code printed on the body, else nanofarads.
    const std::string& digits = quantity->digits;
    std::string meant = digits + "n";
    if (quantity->number == 0) {
      return not_a<double>(what, text, "write '22n', '0.022u' or '680p'");
    } else if (quantity->number < 1) {
      meant = plain_farads(quantity->number * 1e-6);
    } else if (!quantity->point && digits.size() == 3 && digits[0] != '0' && digits[2] <= '6') {
      meant = plain_farads(decimal(digits.substr(0, 2)) * std::pow(10, digits[2] - '0') * 1e-12);
    }
    return not_a<double>(what, text, "a capacitor needs its unit letter: " + likely(meant));
  }
  const std::string low = lower(suffix);
  if (low == "mf" || low == "mfd" || low == "ufd")
    return not_a<double>(what, text, likely(quantity->digits + "u"));
  if (low == "n" || low == "u" || low == "p" || low == "nf" || low == "uf" || low == "pf") {
    return not_a<double>(what, text, likely(quantity->digits + low.substr(0, 1)));
  }
  strip_ohm(suffix);
  if (ohm_multiplier(suffix)) return not_a<double>(what, text, "that is how a resistance is written");
  return not_a<double>(what, text, otherwise);
}

Parsed<double> parse_share(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a percentage";
  const auto quantity = split(text);
  if (quantity && !quantity->lettered && quantity->suffix == "%") {
    return {scaled(*quantity, 1e-2), {}, {}};
  }
  if (quantity && quantity->suffix.empty()) {
    std::string meant = quantity->digits + "%";
    if (quantity->number > 0 && quantity->number < 1) {
      return not_a<double>(
          what, text,
          fmt::format("did you mean '{}%' or '{}'?", fmt::format("{:.6g}", quantity->number * 100), meant));
    }
    return not_a<double>(what, text, likely(meant));
  }
  if (with_usual_letters(text).starts_with('-')) return not_a<double>(what, text, "it has no sign");
  const std::string meant =
      meant_by_marks(text, [](std::string_view other) { return parse_share(other).value.has_value(); });
  return not_a<double>(what, text, meant.empty() ? "write '10%'" : meant);
}

Parsed<double> parse_length(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a length";
  const auto quantity = split(text);
  if (quantity && !quantity->lettered) {
    if (quantity->suffix == "mm") return {scaled(*quantity, 1e-3), {}, {}};
    if (quantity->suffix == "cm") return {scaled(*quantity, 1e-2), {}, {}};
    if (quantity->suffix == "m") return {quantity->number, {}, {}};
    if (quantity->suffix == "in") return {quantity->number * 0.0254, {}, {}};
    if (quantity->suffix.empty())
      return not_a<double>(what, text, "it needs its unit: " + likely(quantity->digits + " mm"));
    const std::string low = lower(quantity->suffix);
    if (low == "\"" || low == "inch" || low == "inches")
      return not_a<double>(what, text, likely(quantity->digits + " in"));
    if (low == "mm" || low == "cm" || low == "m" || low == "in")
      return not_a<double>(what, text, likely(quantity->digits + " " + low));
  }
  const std::string meant =
      meant_by_marks(text, [](std::string_view other) { return parse_length(other).value.has_value(); });
  return not_a<double>(what, text, meant.empty() ? "write it in mm, cm, m or in, as '300 mm'" : meant);
}

Parsed<double> parse_volts(std::string_view text) {
  const auto quantity = split(text);
  if (quantity && !quantity->lettered && (quantity->suffix.empty() || quantity->suffix == "V")) {
    return {quantity->number, {}, {}};
  }
  const std::string meant =
      meant_by_marks(trim(text), [](std::string_view other) { return parse_volts(other).value.has_value(); });
  return not_a<double>("a voltage", trim(text), meant.empty() ? "write '9' or '9V'" : meant);
}

Parsed<double> parse_celsius(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a temperature";
  std::string_view rest = text;
  double sign = 1;
  for (const std::string_view minus : {"-", "\xE2\x88\x92"}) {
    if (!rest.starts_with(minus)) continue;
    sign = -1;
    rest = trim(rest.substr(minus.size()));
    break;
  }
  const auto quantity = split(rest);
  const auto otherwise = [&] {
    const std::string meant =
        meant_by_marks(rest, [](std::string_view other) { return parse_celsius(other).value.has_value(); });
    return not_a<double>(what, text,
                         meant.empty() ? "write '24 \xC2\xB0"
                                         "C'"
                                       : meant);
  };
  if (!quantity || quantity->lettered) return otherwise();
  std::string suffix = quantity->suffix;
  if (suffix.empty() || (strip_celsius(suffix) && suffix.empty())) return {sign * quantity->number, {}, {}};
  if (suffix == "F" || suffix ==
                           "\xC2\xB0"
                           "F") {
    return not_a<double>(what, text,
                         likely(fmt::format("{:.0f} \xC2\xB0"
                                            "C",
                                            (sign * quantity->number - 32) / 1.8)));
  }
  return otherwise();
}

Parsed<double> parse_number(std::string_view text) {
  text = trim(text);
  if (const auto quantity = split(text); quantity && quantity->suffix.empty())
    return {quantity->number, {}, {}};
  return not_a<double>("a number", text, meant_by_marks(text, [](std::string_view other) {
                         return parse_number(other).value.has_value();
                       }));
}

namespace {

// Whether a display could show it: a resistance, or pico, nano or microfarads.
bool reads_as_value(const Quantity& quantity) {
  std::string suffix = quantity.suffix;
  if (suffix.size() > 1) strip_unit(suffix, {"F"});
  if (const auto farads = farad_multiplier(suffix); farads && *farads < 1e-5) return true;
  suffix = quantity.suffix;
  strip_ohm(suffix);
  return ohm_multiplier(suffix).has_value();
}

// Letters and digits alone.
std::string bare_of_marks(std::string_view text) {
  std::string letters;
  for (const char c : text) {
    if (std::string_view(" \t.,;:!?+-_/|'\"~").find(c) == std::string_view::npos) letters += c;
  }
  return letters;
}

// What was probably meant by what no meter shows.
Parsed<Shown> refused_reading(std::string_view text, const std::string& low) {
  constexpr std::string_view what = "a reading";
  const std::string usual = with_usual_letters(text);
  const std::string letters = bare_of_marks(lower(usual));
  const auto is_one_of = [&](std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), letters) != words.end();
  };
  const auto parses = [](std::string_view other) { return parse_reading(other).value.has_value(); };
  if (says_over(letters) || usual.starts_with('>') ||
      is_one_of({"lo",           "0ll",  "open",     "opened",    "opencircuit", "inf", "infinite",
                 "infinity",     "over", "overload", "overrange", "overflow",    "ofl", "oflow",
                 "\xE2\x88\x9E", "o1",   "oi",       "0i",        "oll",         "ql",  "oo"}))
    return not_a<Shown>(what, text, likely("OL"));
  if (is_one_of({"beeps", "bip", "beeped", "beeping", "bep", "peep"}))
    return not_a<Shown>(what, text, likely("beep"));
  if (is_one_of({"nobeep", "silent", "nobeeps", "silence", "nosound"}))
    return not_a<Shown>(what, text, likely("no beep"));
  if (is_one_of({"jump", "jumpy", "jumping", "jumped"})) return not_a<Shown>(what, text, likely("jumps"));
  if (usual.starts_with('-') && parses(std::string_view(usual).substr(1)))
    return not_a<Shown>(what, text, "an ohmmeter shows nothing below zero");
  if (usual.starts_with('+') && parses(std::string_view(usual).substr(1)))
    return not_a<Shown>(what, text,
                        "an ohmmeter shows no sign: " + likely(trim(std::string_view(usual).substr(1))));
  if (const std::string meant = meant_by_marks(text, parses); !meant.empty())
    return not_a<Shown>(what, text, meant);
  if (const auto quantity = split(text); quantity && low.find("beep") == std::string::npos)
    return not_a<Shown>(what, text, parse_ohms(text).hint);
  return not_a<Shown>(what, text,
                      "write what the meter shows: '6.71k', 'OL', 'beep', 'no beep' or 'unstable'");
}

}  // namespace

Parsed<Shown> parse_reading(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a reading";
  const std::string low = single_spaced(lower(text));
  if (says_over(text)) return word(Shows::OverRange);
  if (low == "beep") return word(Shows::Beep);
  if (low == "no beep") return word(Shows::NoBeep);
  if (low == "unstable") return word(Shows::Unstable);
  if (low == "steady") return word(Shows::Steady);
  if (low == "smooth") return word(Shows::Smooth);
  if (low == "jumps") return word(Shows::Jumps);
  if (text.starts_with('1') && text.find_first_not_of(" .,_-:", 1) == std::string_view::npos) {
    return not_a<Shown>(
        what, text,
        "a lone 1 is how some meters say they are over their range: did you mean 'OL'? one ohm is '1.0'");
  }
  std::string plain(text);
  if (const auto meant = meanings(text); !meant.empty()) {
    // A display's comma is its point, unless it could part thousands.
    std::string with_point(text);
    std::replace(with_point.begin(), with_point.end(), ',', '.');
    const auto pointed = split(meant.back());
    if (meant.size() == 2 && pointed && pointed->suffix.empty())
      return not_a<Shown>(what, text, likely(std::vector{meant.back() + "k", meant.back()}));
    if (meant.size() == 1 && meant.front() == with_point) plain = with_point;
  }
  const auto quantity = split(plain);
  if (!quantity || !reads_as_value(*quantity)) return refused_reading(text, low);
  std::string suffix = quantity->suffix;
  if (suffix.size() > 1) strip_unit(suffix, {"F"});
  const auto farads = farad_multiplier(suffix);
  Shown shown;
  shown.farads = farads && *farads < 1e-5;  // a meter shows pico, nano or microfarads
  double multiplier = 1;
  if (shown.farads) {
    multiplier = *farads;
  } else {
    suffix = quantity->suffix;
    strip_ohm(suffix);
    multiplier = ohm_multiplier(suffix).value_or(1);
  }
  shown.value = scaled(*quantity, multiplier);
  shown.resolution = multiplier * std::pow(10.0, -quantity->decimals);
  shown.bare = !quantity->point && multiplier == 1;
  return {shown, {}, {}};
}

Parsed<Shown> parse_display(std::string_view text, const Meter& meter) {
  // Case and spaces aside: nobody counts the blanks of a display.
  const auto plain = [](std::string_view typed) {
    std::string letters = lower(typed);
    std::erase_if(letters, [](char c) { return c == ' ' || c == '\t'; });
    return letters;
  };
  if (plain(text) == plain(meter.over)) return word(Shows::OverRange);
  return parse_reading(text);
}

std::string ReadingProblem::in_file(std::string_view typed, bool of_end) const {
  if (!fits || (!of_end && !hint.empty())) return hint;
  const std::string top = *fits < 1 ? capacitance_range_name(*fits) : range_name(*fits);
  return of_end ? fmt::format("an end may be on a range of its own: '{} on {}'", typed, top)
                : fmt::format("if it was read on another range: 'range: {}'", top);
}

std::optional<ReadingProblem> reading_problem(const Meter& meter, std::optional<double> range,
                                              const Shown& shown, std::string_view typed) {
  using Kind = ReadingProblem::Kind;
  std::vector<Range> ranges = shown.farads ? meter.capacitance : meter.ranges;
  const auto name = shown.farads ? capacitance_range_name : range_name;
  if (shown.farads && ranges.empty()) {
    return ReadingProblem{Kind::NoSuchRange, "the meter has no capacitance ranges",
                          "say which under 'meter': 'capacitance: [2n, 20n, 200n, 2u, 20u]'"};
  }
  if (range) {
    std::erase_if(ranges, [&](const Range& other) { return std::abs(other.top - *range) > 1e-6 * *range; });
    if (ranges.empty()) {
      return ReadingProblem{
          Kind::NoSuchRange,
          fmt::format("the meter has no {}range of {}", shown.farads ? "capacitance " : "", name(*range)),
          "its ranges are " + ranges_of(shown.farads ? meter.capacitance : meter.ranges, name)};
    }
  }
  if (shown.shows != Shows::Value || ranges.empty()) return std::nullopt;
  if (over_range(meter, ranges.back(), shown.value)) {
    return ReadingProblem{
        Kind::AboveRange,
        fmt::format("{} is above {}", quoted(typed),
                    range ? fmt::format("the {} range", name(*range))
                          : fmt::format("the meter's highest {}range", shown.farads ? "capacitance " : "")),
        fmt::format("the display says {} there", meter.over)};
  }
  // An automatic meter takes the lowest range that holds the value; by hand it may be any.
  if (!range && meter.automatic) {
    const auto lowest = std::find_if(ranges.begin(), ranges.end(),
                                     [&](const Range& r) { return !over_range(meter, r, shown.value); });
    ranges.assign(1, *lowest);
  }
  for (const Range& one : ranges) {
    if (!over_range(meter, one, shown.value) && !too_fine(meter, one, shown)) return std::nullopt;
  }
  const std::string where =
      ranges.size() == 1 ? fmt::format("the {} range", name(ranges.front().top)) : "any range of the meter";
  ReadingProblem problem{Kind::TooManyDigits, fmt::format("{} is finer than {} shows", quoted(typed), where),
                         with_letter(meter, range ? ranges : meter.ranges, shown, typed)};
  for (const Range& one : shown.farads ? meter.capacitance : meter.ranges) {
    if (over_range(meter, one, shown.value) || too_fine(meter, one, shown)) continue;
    problem.fits = one.top;
    break;
  }
  return problem;
}

}  // namespace lugwise
