#include "intake/display.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "intake/inside/meant.h"
#include "intake/inside/number_mark.h"
#include "intake/inside/quantity.h"

namespace lugwise {

using namespace intake::inside;
namespace {

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

Parsed<Shown> word(Shows shows) { return {Shown{shows, 0, 0, false, false}, {}, {}}; }

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
  if (usual.starts_with('-') && parses<parse_reading>(std::string_view(usual).substr(1)))
    return not_a<Shown>(what, text, "an ohmmeter shows nothing below zero");
  if (usual.starts_with('+') && parses<parse_reading>(std::string_view(usual).substr(1)))
    return not_a<Shown>(what, text,
                        "an ohmmeter shows no sign: " + likely(trim(std::string_view(usual).substr(1))));
  if (const std::string meant = meant_by_marks(text, parses<parse_reading>); !meant.empty())
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

}  // namespace lugwise
