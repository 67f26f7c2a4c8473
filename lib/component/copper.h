// Copper wire: what a coil's resistance becomes at another temperature, and how much wire it is.
//
// Resistances are ohms, temperatures degrees C, lengths metres, diameters and turn lengths millimetres.
//
//   const Ohms cold = at_temperature(6430, 29, 20);  // what is 6.43k at 29 degrees C is 6210.34 at 20
//   const double wire = wire_length(cold, *diameter(42, Diameters::Nominal));  // 1140.7 m
//   turn_count(wire, 150);  // 7605 turns of 150 mm
#pragma once

#include <optional>

#include "component/ohms.h"

namespace lugwise {

// Resistance rises by a fixed share of what it is at the reference temperature for each degree.
struct CopperLaw {
  double rise = 0.00393;
  double reference = 20;
};

// The law taken unless another is named: 0.00393 per degree on the value at 20 degrees C, standard annealed
// copper of IEC 60028.
inline constexpr CopperLaw kStandardCopper{};

// The same law as handbooks on windings write it, (234.5 + t) / (234.5 + 20). It is IEC 60034-1's from memory
// only.
inline constexpr CopperLaw kWindingCopper{1 / 254.5, 20};

// Coils that nobody said the temperature of are taken to be this cold and this warm at most, in degrees C: rooms that people
// work in, a judgement.
inline constexpr double kColdest = 10;
inline constexpr double kWarmest = 35;

// A resistance at that temperature as a share of what it is at the law's reference.
double copper_factor(double celsius, const CopperLaw& law = kStandardCopper);

// What a resistance measured at one temperature is at another. Both must be warmer than no resistance at all,
// which these laws reach near -234 degrees C; they are meant for rooms, not for cryostats.
Ohms at_temperature(Ohms ohms, double from, double to, const CopperLaw& law = kStandardCopper);

// Published wire tables follow one of two diameters for the same gauge, and differ by up to 3 % in thin wire.
// Whoever shows a length or a resistance says which it is.
enum class Diameters {
  Formula,  // 0.127 mm x 92^((36 - n) / 39), unrounded
  Nominal,  // that rounded to 0.0001 inch, from gauge 45 up to 0.00001 inch, as wire is ordered
};

// The formula's diameter, of gauges in between too.
double formula_diameter(double gauge);

// Bare diameter of an American gauge (ASTM B258), 0000 as -3; none outside -3 to 56.
std::optional<double> diameter(int gauge, Diameters family);

// Resistance of a metre of round copper wire of that diameter at 20 degrees C: 1/58 ohm mm2/m, IEC 60028.
Ohms ohms_per_metre(double diameter);

// How much wire of that diameter has so many ohms at 20 degrees C.
double wire_length(Ohms ohms, double diameter);

// How often a wire goes round, its mean turn being `mean_turn` millimetres long; no whole number.
double turn_count(double length, double mean_turn);

// What a coil is in wire, going by its resistance and the length of its mean turn. An estimate: winding stretches
// the wire, and insulation and layers move the mean turn.
struct Winding {
  Ohms ohms = 0;        // at 20 degrees C
  double diameter = 0;  // of the bare wire
  double length = 0;    // of wire
  double turns = 0;
};

// Of a coil that has `measured` ohms at `celsius`; none of a gauge that there is not.
std::optional<Winding> winding_of(Ohms measured, double celsius, int gauge, Diameters family,
                                  double mean_turn);

}  // namespace lugwise
