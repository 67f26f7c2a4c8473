#include "intake/value.h"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "intake/inside/meant.h"
#include "intake/inside/number_mark.h"
#include "intake/inside/quantity.h"

namespace lugwise {

using namespace intake::inside;
namespace {

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

}  // namespace

Parsed<Ohms> parse_ohms(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a resistance";
  const auto quantity = split(text);
  if (!quantity) {
    const std::string usual = with_usual_letters(text);
    if (usual.starts_with('-') || usual.starts_with('+')) {
      const std::string without(trim(std::string_view(usual).substr(1)));
      return not_a<Ohms>(what, text,
                         parses<parse_ohms>(without) ? "a resistance has no sign: " + likely(without) : "");
    }
    const std::string meant = meant_by_marks(text, parses<parse_ohms>);
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
  const std::string meant = meant_by_marks(text, parses<parse_ohms>);
  return not_a<Ohms>(what, text, meant.empty() ? "write '220', '4.7k' or '0.5M'" : meant);
}

Parsed<double> parse_farads(std::string_view text) {
  text = trim(text);
  constexpr std::string_view what = "a capacitor's value";
  const auto quantity = split(text);
  const std::string meant_so = meant_by_marks(text, parses<parse_farads>);
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
  const std::string meant = meant_by_marks(text, parses<parse_share>);
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
  const std::string meant = meant_by_marks(text, parses<parse_length>);
  return not_a<double>(what, text, meant.empty() ? "write it in mm, cm, m or in, as '300 mm'" : meant);
}

Parsed<double> parse_volts(std::string_view text) {
  const auto quantity = split(text);
  if (quantity && !quantity->lettered && (quantity->suffix.empty() || quantity->suffix == "V")) {
    return {quantity->number, {}, {}};
  }
  const std::string meant = meant_by_marks(trim(text), parses<parse_volts>);
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
    const std::string meant = meant_by_marks(rest, parses<parse_celsius>);
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
  return not_a<double>("a number", text, meant_by_marks(text, parses<parse_number>));
}

}  // namespace lugwise
