// Copper against published cases. Each says where it is from and how sure we are: "read" in the source,
// "second hand" in a page that reports it, "worked out" from the formula by us.
//
// LEC: Lessons in Electric Circuits, volume I (DC) chapter 12.
#include "component/copper.h"

#include <algorithm>
#include <cmath>

#include "support/catch.h"

using namespace lugwise;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double kFoot = 0.3048;             // metres
constexpr CopperLaw kElement{0.004041, 20};  // copper the element, as LEC has it: not the annealed standard

Ohms per_thousand_feet(int gauge, Diameters family) {
  return 1000 * kFoot * ohms_per_metre(*diameter(gauge, family));
}

// Equal to as many figures as were printed.
bool prints_as(double value, double printed, int figures) {
  const double place = std::pow(10, std::floor(std::log10(printed)) + 1 - figures);
  return std::abs(value - printed) <= place * 0.5001;
}

}  // namespace

TEST_CASE("a winding warms from 80 to 100 ohms: published school cases", "[component]") {
  // 80 ohms at 20, 100 hot, constant 234.5: 83.63 degrees C. A published homework thread, read.
  CHECK_THAT(at_temperature(80, 20, 83.625, kWindingCopper), WithinAbs(100, 1e-9));
  // 50 ohms at 20, 58 hot, 0.0043: about 57. A published school problem, read.
  CHECK_THAT(at_temperature(50, 20, 57.2, {0.0043, 20}), WithinAbs(58, 0.0022));
  // 15 ohms at 20, 0.004041, at 35: 15.909 ohms. LEC, read.
  CHECK_THAT(at_temperature(15, 20, 35, kElement), WithinAbs(15.909225, 1e-9));
  // Two of those with a 250 ohm load: 281.82 ohms. LEC, read.
  const Ohms loop = 250 + 2 * at_temperature(15, 20, 35, kElement);
  CHECK_THAT(loop, WithinAbs(281.82, 0.005));
  // 14 V drive 49.677 mA through them, and the load takes 12.42 V of it. LEC, read.
  CHECK_THAT(14 / loop, WithinAbs(49.677e-3, 5e-7));
  CHECK_THAT(14 / loop * 250, WithinAbs(12.42, 0.005));
}

TEST_CASE("the winding law's shares of the value at 20 degrees", "[component]") {
  // Worked out from (234.5 + t) / 254.5; that constant for copper is read in a worked problem.
  const std::pair<double, double> rows[] = {{0, 0.921415},  {10, 0.960707}, {15, 0.980354},
                                            {25, 1.019646}, {30, 1.039293}, {35, 1.058939},
                                            {40, 1.078585}, {50, 1.117878}, {75, 1.216110}};
  for (const auto& [celsius, share] : rows) {
    CHECK_THAT(at_temperature(1, 20, celsius, kWindingCopper), WithinAbs(share, 5e-7));
  }
  // The rise per degree as a share of the value at 20, 25 and 0: 1 / (234.5 + t), worked out. 234.5 is
  // IEC 60034-1's from memory; a worked problem with 1 / 234.5 at 0 is read.
  const std::pair<double, double> rises[] = {{20, 0.0039293}, {25, 0.0038536}, {0, 0.0042644}};
  for (const auto& [celsius, rise] : rises) {
    CHECK_THAT(at_temperature(1, celsius, celsius + 1, kWindingCopper) - 1, WithinAbs(rise, 5e-8));
  }
}

TEST_CASE("unless another law is named copper rises by 0.393 % a degree of its value at 20", "[component]") {
  // IEC 60028 and NBS Handbook 100, second hand.
  CHECK_THAT(at_temperature(8000, 20, 30), WithinAbs(8314.4, 1e-9));  // 8000 + 8000 x 0.0393
  CHECK_THAT(at_temperature(8000, 20, 10), WithinAbs(7685.6, 1e-9));
  CHECK_THAT(at_temperature(8314.4, 30, 20), WithinAbs(8000, 1e-9));
  // Not from the value at the other temperature: 10 to 30 is 1.0393 / 0.9607.
  CHECK_THAT(at_temperature(1000, 10, 30), WithinAbs(1000 * 1.0393 / 0.9607, 1e-9));
  // The two laws for copper stay within a thousandth of each other in any workshop.
  for (double celsius = 0; celsius <= 45; ++celsius) {
    CHECK_THAT(at_temperature(1, 20, celsius),
               WithinAbs(at_temperature(1, 20, celsius, kWindingCopper), 1e-3));
  }
}

TEST_CASE("temperatures lead there and back, and by any stop on the way", "[component]") {
  for (const CopperLaw& law : {kStandardCopper, kWindingCopper, kElement}) {
    for (double from = -20; from <= 80; from += 12.5) {
      for (double to = -20; to <= 80; to += 12.5) {
        const Ohms there = at_temperature(6200, from, to, law);
        CHECK_THAT(at_temperature(there, to, from, law), WithinRel(6200, 1e-12));
        CHECK_THAT(at_temperature(at_temperature(6200, from, 23, law), 23, to, law), WithinRel(there, 1e-12));
        CHECK((there > 6200) == (to > from));
      }
    }
  }
}

TEST_CASE("gauges have the diameters of their rule", "[component]") {
  // ASTM B258, second hand: 36 is 0.0050 in, 0000 is 0.4600 in; six gauges double the diameter, nearly.
  CHECK_THAT(*diameter(36, Diameters::Formula), WithinRel(0.127, 1e-12));
  CHECK_THAT(*diameter(-3, Diameters::Formula), WithinRel(0.46 * 25.4, 1e-12));
  CHECK_THAT(*diameter(30, Diameters::Formula) / *diameter(36, Diameters::Formula), WithinAbs(2.0050, 5e-5));
  CHECK_THAT(*diameter(35, Diameters::Formula) / *diameter(36, Diameters::Formula),
             WithinAbs(1.1229322, 5e-8));

  // inch: four figures from LEC volume V, read; nominal from a magnet wire sheet, second hand, 40 and up from
  // memory
  struct Row {
    int gauge;
    double formula;
    double nominal;
  };
  const Row rows[] = {
      {18, 0.04030, 0.0403},  {19, 0.03589, 0.0359},  {20, 0.03196, 0.0320},  {21, 0.02846, 0.0285},
      {22, 0.02535, 0.0253},  {23, 0.02257, 0.0226},  {24, 0.02010, 0.0201},  {25, 0.01790, 0.0179},
      {26, 0.01594, 0.0159},  {27, 0.01420, 0.0142},  {28, 0.01264, 0.0126},  {29, 0.01126, 0.0113},
      {30, 0.01003, 0.0100},  {36, 0.005000, 0.0050}, {40, 0.003145, 0.0031}, {41, 0.002800, 0.0028},
      {42, 0.002494, 0.0025}, {43, 0.002221, 0.0022}, {44, 0.001978, 0.0020}};
  for (const Row& row : rows) {
    INFO("gauge " << row.gauge);
    CHECK(prints_as(*diameter(row.gauge, Diameters::Formula) / 25.4, row.formula, 4));
    CHECK_THAT(*diameter(row.gauge, Diameters::Nominal) / 25.4, WithinAbs(row.nominal, 1e-12));
  }

  CHECK_FALSE(diameter(-4, Diameters::Formula));
  CHECK_FALSE(diameter(57, Diameters::Nominal));
  for (int gauge = -2; gauge <= 56; ++gauge) {
    CHECK(*diameter(gauge, Diameters::Formula) < *diameter(gauge - 1, Diameters::Formula));
    CHECK(*diameter(gauge, Diameters::Nominal) < *diameter(gauge - 1, Diameters::Nominal));
  }
}

TEST_CASE("a metre of standard copper", "[component]") {
  // 1/58 ohm for a square millimetre: IEC 60028, second hand. 10.371 ohms for a circular mil and a foot:
  // second hand.
  CHECK_THAT(ohms_per_metre(std::sqrt(4 / 3.141592653589793)), WithinRel(1 / 58.0, 1e-12));
  CHECK_THAT(ohms_per_metre(0.0254) * kFoot, WithinAbs(10.371, 5e-4));
  // 4600 ft of gauge 14 (4107 circular mils) of 10.09 ohms: 11.301 ohms, LEC, read. Our standard copper is
  // more resistive by 10.371 / 10.09.
  const double circular_mils = std::sqrt(4107) * 0.0254;
  CHECK_THAT(4600 * kFoot * ohms_per_metre(circular_mils) * 10.09 / 10.371, WithinAbs(11.301, 1e-3));
  CHECK_THAT(2300 * kFoot * ohms_per_metre(circular_mils) * 10.09 / 10.371, WithinAbs(5.651, 1e-3));
  CHECK_THAT(*diameter(14, Diameters::Formula), WithinRel(circular_mils, 2e-4));
}

TEST_CASE("magnet wire has the printed resistance of its nominal diameter", "[component]") {
  // ohms per 1000 ft: a magnet wire data sheet that follows NBS Handbook 100, second hand.
  struct Row {
    int gauge;
    double ohms;
  };
  const Row rows[] = {{18, 6.386}, {19, 8.047}, {20, 10.13}, {21, 12.77}, {22, 16.20},
                      {23, 20.31}, {24, 25.67}, {25, 32.37}, {26, 41.02}, {27, 51.43},
                      {28, 65.33}, {29, 81.22}, {30, 103.7}, {36, 414.8}};
  for (const Row& row : rows) {
    INFO("gauge " << row.gauge);
    CHECK(prints_as(per_thousand_feet(row.gauge, Diameters::Nominal), row.ohms, 4));
  }
}

TEST_CASE("older wire tables have the resistance of the formula's diameter", "[component]") {
  // ohms per 1000 ft: a wire table on the web, second hand; it rounds its diameters first, hence a
  // thousandth.
  const std::pair<int, double> rows[] = {{18, 6.39},  {19, 8.05},  {20, 10.15},  {21, 12.80},  {22, 16.14},
                                         {23, 20.36}, {24, 25.67}, {25, 32.37},  {26, 40.81},  {27, 51.47},
                                         {28, 64.90}, {29, 81.83}, {30, 103.20}, {36, 414.80}, {40, 1049.0}};
  for (const auto& [gauge, ohms] : rows) {
    INFO("gauge " << gauge);
    CHECK_THAT(per_thousand_feet(gauge, Diameters::Formula), WithinRel(ohms, 1e-3));
  }
  // The same table in ohms per km.
  const std::pair<int, double> kilometres[] = {{18, 20.94},  {20, 33.29},  {22, 52.94},  {24, 84.20},
                                               {26, 133.86}, {28, 212.87}, {30, 338.50}, {40, 3440}};
  for (const auto& [gauge, ohms] : kilometres) {
    INFO("gauge " << gauge);
    CHECK_THAT(1000 * ohms_per_metre(*diameter(gauge, Diameters::Formula)), WithinRel(ohms, 1e-3));
  }
}

TEST_CASE("both kinds of table from gauge 18 to 44, and how they part in thin wire", "[component]") {
  // ohms per km of both diameters, worked out from 1/58 ohm for a square millimetre and a metre.
  struct Row {
    int gauge;
    double formula;
    double nominal;
  };
  const Row rows[] = {
      {18, 20.948, 20.951},   {19, 26.415, 26.401},   {20, 33.309, 33.229},   {21, 42.002, 41.891},
      {22, 52.963, 53.159},   {23, 66.786, 66.619},   {24, 84.215, 84.221},   {25, 106.193, 106.196},
      {26, 133.907, 134.592}, {27, 168.854, 168.748}, {28, 212.921, 214.325}, {29, 268.488, 266.476},
      {30, 338.557, 340.263}, {36, 1361.05, 1361.05}, {40, 3441.14, 3540.72}, {41, 4339.20, 4340.09},
      {42, 5471.63, 5444.21}, {43, 6899.60, 7030.23}, {44, 8700.24, 8506.57}};
  double widest = 0;
  for (const Row& row : rows) {
    INFO("gauge " << row.gauge);
    const double half = row.gauge < 36 ? 5.1e-4 : 5.1e-3;  // of the last digit
    const Ohms formula = 1000 * ohms_per_metre(*diameter(row.gauge, Diameters::Formula));
    const Ohms nominal = 1000 * ohms_per_metre(*diameter(row.gauge, Diameters::Nominal));
    CHECK_THAT(formula, WithinAbs(row.formula, half));
    CHECK_THAT(nominal, WithinAbs(row.nominal, half));
    widest = std::max(widest, std::abs(nominal / formula - 1));
  }
  CHECK_THAT(widest, WithinAbs(0.029, 5e-4));  // gauge 40: 2.9 %, the nominal wire being the thinner

  // ohms per 1000 ft of thin wire, worked out
  struct Thin {
    int gauge;
    double formula;
    double nominal;
  };
  const Thin thin[] = {
      {41, 1322.6, 1322.9}, {42, 1667.8, 1659.4}, {43, 2103.0, 2142.8}, {44, 2651.8, 2592.8}};
  for (const Thin& row : thin) {
    CHECK_THAT(per_thousand_feet(row.gauge, Diameters::Formula), WithinAbs(row.formula, 0.051));
    CHECK_THAT(per_thousand_feet(row.gauge, Diameters::Nominal), WithinAbs(row.nominal, 0.051));
  }
  CHECK_THAT(per_thousand_feet(40, Diameters::Nominal), WithinAbs(1079.2, 0.051));
  // seven strands of gauge 30 side by side: 14.7, worked out
  CHECK_THAT(per_thousand_feet(30, Diameters::Formula) / 7, WithinAbs(14.7, 0.05));
}

TEST_CASE("a coil's resistance gives its wire and its turns", "[component]") {
  // 7k of gauge 42 is 1286 m by the nominal diameter, 1279 m by the formula: worked out.
  CHECK_THAT(wire_length(7000, *diameter(42, Diameters::Nominal)), WithinAbs(1286, 0.5));
  CHECK_THAT(wire_length(7000, *diameter(42, Diameters::Formula)), WithinAbs(1279, 0.5));
  CHECK_THAT(turn_count(1286, 150), WithinAbs(8573.33, 0.01));
  // What the header says.
  const Ohms cold = at_temperature(6430, 29, 20);
  CHECK_THAT(cold, WithinAbs(6210.34, 0.005));
  const double wire = wire_length(cold, *diameter(42, Diameters::Nominal));
  CHECK_THAT(wire, WithinAbs(1140.7, 0.05));
  CHECK_THAT(turn_count(wire, 150), WithinAbs(7605, 0.5));

  // The same in one go.
  const auto winding = winding_of(6430, 29, 42, Diameters::Nominal, 150);
  REQUIRE(winding);
  CHECK(winding->ohms == cold);
  CHECK(winding->diameter == *diameter(42, Diameters::Nominal));
  CHECK(winding->length == wire);
  CHECK(winding->turns == turn_count(wire, 150));
  CHECK_FALSE(winding_of(6430, 29, 99, Diameters::Nominal, 150));
}

TEST_CASE("a gauge between two has a diameter between theirs", "[component]") {
  CHECK_THAT(formula_diameter(41.5) * formula_diameter(41.5),
             WithinRel(formula_diameter(41) * formula_diameter(42), 1e-12));
}

TEST_CASE("a length has its resistance back", "[component]") {
  for (int gauge = -3; gauge <= 56; ++gauge) {
    for (Diameters family : {Diameters::Formula, Diameters::Nominal}) {
      const double thick = *diameter(gauge, family);
      CHECK_THAT(wire_length(6200, thick) * ohms_per_metre(thick), WithinRel(6200, 1e-12));
    }
  }
}
