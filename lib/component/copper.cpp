#include "component/copper.h"

#include <cmath>
#include <numbers>

namespace lugwise {
namespace {

constexpr double kInch = 25.4;        // millimetres
constexpr double kConductivity = 58;  // metres per ohm and square millimetre

}  // namespace

double copper_factor(double celsius, const CopperLaw& law) {
  return 1 + law.rise * (celsius - law.reference);
}

Ohms at_temperature(Ohms ohms, double from, double to, const CopperLaw& law) {
  return ohms * copper_factor(to, law) / copper_factor(from, law);
}

double formula_diameter(double gauge) { return 0.005 * kInch * std::pow(92, (36 - gauge) / 39); }

std::optional<double> diameter(int gauge, Diameters family) {
  if (gauge < -3 || gauge > 56) return std::nullopt;
  const double formula = formula_diameter(gauge);
  if (family == Diameters::Formula) return formula;
  const double parts = gauge < 45 ? 1e4 : 1e5;  // of an inch
  return std::round(formula / kInch * parts) / parts * kInch;
}

Ohms ohms_per_metre(double diameter) {
  return 1 / (kConductivity * std::numbers::pi / 4 * diameter * diameter);
}

double wire_length(Ohms ohms, double diameter) { return ohms / ohms_per_metre(diameter); }

double turn_count(double length, double mean_turn) { return 1000 * length / mean_turn; }

std::optional<Winding> winding_of(Ohms measured, double celsius, int gauge, Diameters family,
                                  double mean_turn) {
  const auto thick = diameter(gauge, family);
  if (!thick) return std::nullopt;
  Winding winding;
  winding.ohms = at_temperature(measured, celsius, 20);
  winding.diameter = *thick;
  winding.length = wire_length(winding.ohms, *thick);
  winding.turns = turn_count(winding.length, mean_turn);
  return winding;
}

}  // namespace lugwise
