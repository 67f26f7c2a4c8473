// A resistor's value in all the ways there are to say it.
#include "component/marked_resistor.h"

#include <cmath>

#include "support/catch.h"

using namespace lugwise;
using enum Colour;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

using Bands = std::vector<Colour>;

}  // namespace

TEST_CASE("47k of 5 % in bands, letters and limits", "[component]") {
  // The four bands: Lessons in Electric Circuits, volume V chapter 2, read. J is 5 % from memory.
  const MarkedResistor resistor = marked_resistor({47e3, 0.05, {}});
  CHECK(resistor.four_bands == Bands{Yellow, Violet, Orange, Gold});
  CHECK(resistor.five_bands == Bands{Yellow, Violet, Black, Red, Gold});
  CHECK(resistor.letters == "47KJ");
  REQUIRE(resistor.allowed);
  CHECK_THAT(resistor.allowed->low, WithinRel(44650, 1e-12));   // 47000 - 2350
  CHECK_THAT(resistor.allowed->high, WithinRel(49350, 1e-12));  // 47000 + 2350
}

TEST_CASE("without a tolerance the bands end before its place", "[component]") {
  for (bool disputed : {false, true}) {
    const MarkedResistor resistor = marked_resistor({4700, {}, {}, disputed});
    CHECK(resistor.four_bands == Bands{Yellow, Violet, Red});
    CHECK(resistor.five_bands == Bands{Yellow, Violet, Black, Brown});
    CHECK(resistor.letters == "4K7");
    CHECK_FALSE(resistor.allowed);
  }
}

TEST_CASE("20 % is a missing fourth band, and five bands can't say it", "[component]") {
  // 97 ohms, three bands: Lessons in Electric Circuits, volume V chapter 2, read.
  const MarkedResistor resistor = marked_resistor({97, 0.2, {}});
  CHECK(resistor.four_bands == Bands{White, Violet, Black});
  CHECK_FALSE(resistor.five_bands);
  CHECK(resistor.letters == "97RM");
}

TEST_CASE("what takes three digits is in five bands only", "[component]") {
  const MarkedResistor resistor = marked_resistor({8010, 0.01, {}});
  CHECK_FALSE(resistor.four_bands);
  CHECK(resistor.five_bands == Bands{Grey, Black, Brown, Brown, Brown});
  CHECK(resistor.letters == "8K01F");
}

TEST_CASE("a tolerance without a colour or letter leaves limits and preferred values", "[component]") {
  const MarkedResistor resistor = marked_resistor({4700, 0.07, {}});
  CHECK_FALSE(resistor.four_bands);
  CHECK_FALSE(resistor.five_bands);
  CHECK_FALSE(resistor.letters);
  CHECK(resistor.allowed);
  CHECK(resistor.preferred.size() == std::size(kAllSeries));
}

TEST_CASE("8.01k against each series", "[component]") {
  // By hand: 8.2k is nearer than 7.5k, and 190 ohms more, 2.3 % of it; E6 falls back on 6.8k, 17.8 % less.
  const MarkedResistor resistor = marked_resistor({8010, {}, {}});
  const std::pair<Ohms, double> rows[] = {{10e3, -0.199},   {6800, 0.17794},  {8200, -0.02317},
                                          {8200, -0.02317}, {7870, 0.017789}, {8060, -0.0062},
                                          {8060, -0.0062}};
  REQUIRE(resistor.preferred.size() == std::size(rows));
  for (std::size_t i = 0; i < std::size(rows); ++i) {
    CHECK(resistor.preferred[i].series == kAllSeries[i]);
    CHECK_THAT(resistor.preferred[i].ohms, WithinRel(rows[i].first, 1e-12));
    CHECK_THAT(resistor.preferred[i].off, WithinAbs(rows[i].second, 1e-5));
  }
  CHECK(resistor.preferred[3].fits());        // 5 % of 8.2k begins at 7.79k
  CHECK_FALSE(resistor.preferred[6].fits());  // 0.5 % of 8.06k begins at 8.0197k
}

TEST_CASE("what no resistor has is said in no way, and breaks nothing", "[component]") {
  for (Ohms ohms : {0.0, -4700.0, 1e-300, 1e300, double(INFINITY), double(NAN)}) {
    for (std::optional<double> tolerance : {std::optional<double>(), std::optional<double>(0.05)}) {
      const MarkedResistor resistor = marked_resistor({ohms, tolerance, {}});
      CHECK_FALSE(resistor.letters);
      CHECK_FALSE(resistor.four_bands);
      CHECK_FALSE(resistor.five_bands);
      CHECK(resistor.preferred.empty());
    }
  }
}

TEST_CASE("series go by their names", "[component]") {
  CHECK(series_name(Series::E3) == "E3");
  CHECK(series_name(Series::E24) == "E24");
  CHECK(series_name(Series::E192) == "E192");
}
