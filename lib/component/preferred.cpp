#include "component/preferred.h"

#include <algorithm>
#include <cmath>

#include "component/inside/scaled.h"

namespace lugwise {

using namespace component::inside;
namespace {

constexpr Ohms kLeast = 1e-3;
constexpr Ohms kMost = 1e12;
constexpr double kSlack = 1e-9;  // 110 is 10 % above 100, whatever the doubles say

// From E48 on the values are rounded powers; with one exception, 920 in E192 where the power gives 919 (from
// memory).
std::vector<int> rounded_powers(int count) {
  std::vector<int> values;
  for (int i = 0; i < count; ++i)
    values.push_back(static_cast<int>(std::lround(100 * std::pow(10, i / double(count)))));
  if (count == 192) std::replace(values.begin(), values.end(), 919, 920);
  return values;
}

// Below E24 every second value is left out, and again.
std::vector<int> every(const std::vector<int>& values, std::size_t stride) {
  std::vector<int> kept;
  for (std::size_t i = 0; i < values.size(); i += stride) kept.push_back(values[i]);
  return kept;
}

int decade_power(Ohms ohms) { return static_cast<int>(std::floor(std::log10(ohms))); }

}  // namespace

const std::vector<int>& decade_of(Series series) {
  // E24 and what comes of it are older than the rule and don't follow it.
  static const std::vector<int> e24 = {100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300,
                                       330, 360, 390, 430, 470, 510, 560, 620, 680, 750, 820, 910};
  static const std::vector<int> e12 = every(e24, 2);
  static const std::vector<int> e6 = every(e24, 4);
  static const std::vector<int> e3 = every(e24, 8);
  static const std::vector<int> e48 = rounded_powers(48);
  static const std::vector<int> e96 = rounded_powers(96);
  static const std::vector<int> e192 = rounded_powers(192);
  switch (series) {
    case Series::E3:
      return e3;
    case Series::E6:
      return e6;
    case Series::E12:
      return e12;
    case Series::E24:
      return e24;
    case Series::E48:
      return e48;
    case Series::E96:
      return e96;
    case Series::E192:
      break;
  }
  return e192;
}

std::string_view series_name(Series series) {
  static constexpr std::string_view kNames[] = {"E3", "E6", "E12", "E24", "E48", "E96", "E192"};
  return kNames[static_cast<std::size_t>(series)];
}

std::optional<double> usual_tolerance(Series series) {
  switch (series) {
    case Series::E3:
      return std::nullopt;
    case Series::E6:
      return 0.2;
    case Series::E12:
      return 0.1;
    case Series::E24:
      return 0.05;
    case Series::E48:
      return 0.02;
    case Series::E96:
      return 0.01;
    case Series::E192:
      break;
  }
  return 0.005;
}

bool Preferred::fits() const {
  const auto tolerance = usual_tolerance(series);
  return tolerance && std::abs(off) <= *tolerance + kSlack;
}

std::optional<Preferred> nearest_preferred(Series series, Ohms measured) {
  if (!(measured >= kLeast && measured <= kMost)) return std::nullopt;
  std::optional<Preferred> best;
  const int power = decade_power(measured);
  for (int decade = power - 1; decade <= power + 1; ++decade) {
    for (int hundreds : decade_of(series)) {
      const Ohms ohms = scaled(hundreds, decade - 2);
      const double off = (measured - ohms) / ohms;
      if (!best || std::abs(off) < std::abs(best->off)) best = Preferred{series, ohms, off};
    }
  }
  return best;
}

}  // namespace lugwise
