#include "component/colour.h"

#include <cmath>
#include <cstdlib>
#include <iterator>

#include "component/inside/scaled.h"

namespace lugwise {

using namespace component::inside;
namespace {

// One row a colour, in the order of the enumeration.
struct Row {
  std::string_view name;
  std::optional<int> digit;
  int power;
  bool is_tolerance;
  std::optional<double> tolerance;
  std::optional<double> drift;
};

constexpr std::nullopt_t none = std::nullopt;

// Orange and yellow are 3 % and 4 % in one list, 0.05 % and 0.02 % in the edition of 2016; grey is 0.05 % in
// older ones, 0.01 % in that. The edition of 2016 is quoted from memory; so those three claim nothing.
constexpr Row kRows[] = {
    {"black", 0, 0, false, none, 250},     {"brown", 1, 1, true, 0.01, 100},
    {"red", 2, 2, true, 0.02, 50},         {"orange", 3, 3, true, none, 15},
    {"yellow", 4, 4, true, none, 25},      {"green", 5, 5, true, 0.005, 20},
    {"blue", 6, 6, true, 0.0025, 10},      {"violet", 7, 7, true, 0.001, 5},
    {"grey", 8, 8, true, none, 1},         {"white", 9, 9, false, none, none},
    {"gold", none, -1, true, 0.05, none},  {"silver", none, -2, true, 0.1, none},
    {"pink", none, -3, false, none, none},
};

constexpr double kNoBand = 0.2;  // the tolerance where no band gives one

const Row& row(Colour colour) { return kRows[static_cast<std::size_t>(colour)]; }

bool same(double a, double b) { return std::abs(a - b) <= 1e-9 * std::abs(b); }

template <typename Test>
std::optional<Colour> first_colour(Test test) {
  for (std::size_t i = 0; i < std::size(kRows); ++i) {
    if (test(kRows[i])) return static_cast<Colour>(i);
  }
  return std::nullopt;
}

}  // namespace

std::string_view colour_name(Colour colour) { return row(colour).name; }

std::optional<Colour> find_colour(std::string_view name) {
  if (name == "gray") return Colour::Grey;
  if (name == "purple") return Colour::Violet;
  return first_colour([&](const Row& row) { return row.name == name; });
}

std::variant<Marking, MarkingError> read_bands(const std::vector<Colour>& bands) {
  if (bands.size() < 3 || bands.size() > 6) return MarkingError{0, "3 to 6 bands"};
  const std::size_t digits = bands.size() < 5 ? 2 : 3;
  double number = 0;
  for (std::size_t i = 0; i < digits; ++i) {
    const auto digit = row(bands[i]).digit;
    if (!digit) return MarkingError{i + 1, "a digit: black to white"};
    number = 10 * number + *digit;
  }
  Marking marking{scaled(number, row(bands[digits]).power), kNoBand, {}};
  if (bands.size() > digits + 1) {
    const Row& tolerance = row(bands[digits + 1]);
    if (!tolerance.is_tolerance)
      return MarkingError{digits + 2, "a tolerance: brown to grey, gold or silver"};
    marking.tolerance = tolerance.tolerance;
    marking.disputed = !tolerance.tolerance;
  }
  if (bands.size() > digits + 2) {
    marking.drift = row(bands[digits + 2]).drift;
    if (!marking.drift) return MarkingError{digits + 3, "a temperature coefficient: black to grey"};
  }
  return marking;
}

std::optional<std::vector<Colour>> write_bands(const Marking& marking, int count) {
  if (count < 3 || count > 6) return std::nullopt;
  if (!(marking.ohms > 0) || !std::isfinite(marking.ohms)) return std::nullopt;
  const int digits = count < 5 ? 2 : 3;

  // The first digit is no zero: a multiplier for each value, and one only.
  const int power = static_cast<int>(std::floor(std::log10(marking.ohms) + 1e-9)) - (digits - 1);
  const auto multiplier = first_colour([&](const Row& row) { return row.power == power; });
  if (!multiplier) return std::nullopt;
  const double number = std::round(scaled(marking.ohms, -power));
  if (!same(scaled(number, power), marking.ohms)) return std::nullopt;

  std::vector<Colour> bands;
  for (int place = digits - 1; place >= 0; --place) {
    bands.push_back(static_cast<Colour>(static_cast<int>(scaled(number, -place)) % 10));
  }
  bands.push_back(*multiplier);

  if (!marking.tolerance) return std::nullopt;
  if (count == 3) {
    if (!same(*marking.tolerance, kNoBand)) return std::nullopt;
  } else {
    const auto tolerance = first_colour(
        [&](const Row& row) { return row.tolerance && same(*row.tolerance, *marking.tolerance); });
    if (!tolerance) return std::nullopt;
    bands.push_back(*tolerance);
  }
  if (marking.drift.has_value() != (count == 6)) return std::nullopt;
  if (count == 6) {
    const auto drift =
        first_colour([&](const Row& row) { return row.drift && same(*row.drift, *marking.drift); });
    if (!drift) return std::nullopt;
    bands.push_back(*drift);
  }
  return bands;
}

}  // namespace lugwise
