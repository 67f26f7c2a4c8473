#include "component/copper.h"

#include <cmath>
#include <numbers>

namespace lugwise {
namespace {

constexpr double kInch = 25.4;        // millimetres
constexpr double kConductivity = 58;  // metres per ohm and square millimetre

double share_of_reference(double celsius, const CopperLaw& law) {
  return 1 + law.rise * (celsius - law.reference);
}

}  // namespace

Ohms at_temperature(Ohms ohms, double from, double to, const CopperLaw& law) {
  return ohms * share_of_reference(to, law) / share_of_reference(from, law);
}

double temperature_of(Ohms hot, Ohms cold, double cold_temperature, const CopperLaw& law) {
  const double share = hot / cold * share_of_reference(cold_temperature, law);
  return law.reference + (share - 1) / law.rise;
}

std::optional<double> diameter(int gauge, Diameters family) {
  if (gauge < -3 || gauge > 56) return std::nullopt;
  const double inches = 0.005 * std::pow(92, (36 - gauge) / 39.0);
  if (family == Diameters::Formula) return inches * kInch;
  const double parts = gauge < 45 ? 1e4 : 1e5;  // of an inch
  return std::round(inches * parts) / parts * kInch;
}

Ohms ohms_per_metre(double diameter) {
  return 1 / (kConductivity * std::numbers::pi / 4 * diameter * diameter);
}

double wire_length(Ohms ohms, double diameter) { return ohms / ohms_per_metre(diameter); }

double turn_count(double length, double mean_turn) { return 1000 * length / mean_turn; }

}  // namespace lugwise
