// Preferred numbers of IEC 60063, second hand unless said otherwise.
#include "component/preferred.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "support/catch.h"

using namespace lugwise;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

std::vector<int> every_second(const std::vector<int>& values) {
  std::vector<int> kept;
  for (std::size_t i = 0; i < values.size(); i += 2) kept.push_back(values[i]);
  return kept;
}

std::vector<int> tens(std::vector<int> values) {
  for (int& value : values) value *= 10;
  return values;
}

// Of each series whose usual tolerance holds what was measured, the nearest value, coarsest first.
std::vector<Preferred> fitting(Ohms measured) {
  std::vector<Preferred> found;
  for (Series series : kAllSeries) {
    const auto near = nearest_preferred(series, measured);
    if (near && near->fits()) found.push_back(*near);
  }
  return found;
}

}  // namespace

TEST_CASE("the series hold the published values", "[component]") {
  CHECK(decade_of(Series::E3) == tens({10, 22, 47}));
  CHECK(decade_of(Series::E6) == tens({10, 15, 22, 33, 47, 68}));
  CHECK(decade_of(Series::E12) == tens({10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}));
  CHECK(decade_of(Series::E24) == tens({10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
                                        33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}));
  CHECK(decade_of(Series::E48) ==
        std::vector<int>{100, 105, 110, 115, 121, 127, 133, 140, 147, 154, 162, 169, 178, 187, 196, 205,
                         215, 226, 237, 249, 261, 274, 287, 301, 316, 332, 348, 365, 383, 402, 422, 442,
                         464, 487, 511, 536, 562, 590, 619, 649, 681, 715, 750, 787, 825, 866, 909, 953});
  // 83 second hand; 118 143 174 210 255 309 374 453 549 665 806 953 976 worked out
  CHECK(decade_of(Series::E96) ==
        std::vector<int>{100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130, 133, 137, 140, 143,
                         147, 150, 154, 158, 162, 165, 169, 174, 178, 182, 187, 191, 196, 200, 205, 210,
                         215, 221, 226, 232, 237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309,
                         316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412, 422, 432, 442, 453,
                         464, 475, 487, 499, 511, 523, 536, 549, 562, 576, 590, 604, 619, 634, 649, 665,
                         681, 698, 715, 732, 750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976});
}

TEST_CASE("each series has its number of rising values, and the coarser are in the finer", "[component]") {
  const std::size_t sizes[] = {3, 6, 12, 24, 48, 96, 192};
  for (std::size_t i = 0; i < std::size(sizes); ++i) {
    const auto& values = decade_of(kAllSeries[i]);
    CHECK(values.size() == sizes[i]);
    CHECK(std::is_sorted(values.begin(), values.end()));
    CHECK(std::adjacent_find(values.begin(), values.end()) == values.end());
    CHECK(values.front() == 100);
    CHECK(values.back() < 1000);
    // E48 does not hold E24: that is where tens end and hundreds begin.
    if (i > 0)
      CHECK((every_second(values) == decade_of(kAllSeries[i - 1])) == (kAllSeries[i] != Series::E48));
  }
}

TEST_CASE("only 920 in E192 and eight values of E24 leave the rule of rounded powers", "[component]") {
  // 920 is from memory, and so is the rule for E192. That eight of E24 differ is second hand; which ones,
  // worked out.
  const auto exceptions = [](Series series, int step) {
    std::vector<int> found;
    const auto& values = decade_of(series);
    for (std::size_t i = 0; i < values.size(); ++i) {
      const double power = std::pow(10, static_cast<double>(i) / static_cast<double>(values.size()));
      if (values[i] != step * std::lround(100 / step * power)) found.push_back(values[i]);
    }
    return found;
  };
  CHECK(exceptions(Series::E24, 10) == std::vector<int>{270, 300, 330, 360, 390, 430, 470, 820});
  CHECK(exceptions(Series::E48, 1).empty());
  CHECK(exceptions(Series::E96, 1).empty());
  CHECK(exceptions(Series::E192, 1) == std::vector<int>{920});
}

TEST_CASE("the nearest value is the one a part is off from by the smallest share", "[component]") {
  struct Row {
    Series series;
    Ohms measured;
    Ohms ohms;
    double off;
  };
  const Row rows[] = {
      {Series::E24, 8010, 8200, -190.0 / 8200},  // 2.3 % below; 7.5k would be 6.8 % above
      {Series::E12, 4700, 4700, 0},
      {Series::E24, 9600, 10e3, -0.04},            // 9.1k would be 5.5 % above
      {Series::E6, 98e3, 100e3, -0.02},            // over the edge of the decade
      {Series::E96, 0.985, 0.976, 0.009 / 0.976},  // 1 would be 1.5 % above
      {Series::E3, 1.5e6, 2.2e6, -0.7 / 2.2},      // nearer to 1M in ohms, but half as much again
      {Series::E3, 0.001, 0.001, 0},
      {Series::E192, 1e12, 1e12, 0},
  };
  for (const Row& row : rows) {
    const auto near = nearest_preferred(row.series, row.measured);
    REQUIRE(near);
    CHECK(near->series == row.series);
    CHECK_THAT(near->ohms, WithinRel(row.ohms, 1e-12));
    CHECK_THAT(near->off, WithinAbs(row.off, 1e-12));
  }
}

TEST_CASE("what is no resistance of a part has no preferred value", "[component]") {
  for (Ohms ohms : {0.0, -4700.0, 1e-4, 1e13, double(INFINITY), double(NAN)}) {
    CHECK_FALSE(nearest_preferred(Series::E24, ohms));
  }
}

TEST_CASE("no other value of a series is nearer, by trying them all", "[component]") {
  std::mt19937 dice(2);
  std::uniform_real_distribution<double> power(-1, 7);
  for (Series series : kAllSeries) {
    for (int i = 0; i < 200; ++i) {
      const Ohms measured = std::pow(10, power(dice));
      const auto near = nearest_preferred(series, measured);
      REQUIRE(near);
      CHECK_THAT(near->ohms * (1 + near->off), WithinRel(measured, 1e-12));
      for (double decade = 1e-5; decade < 1e9; decade *= 10) {
        for (int hundreds : decade_of(series)) {
          const Ohms other = hundreds * decade;
          if (std::abs(measured - other) / other < std::abs(near->off) - 1e-9)
            FAIL_CHECK(other << " is nearer to " << measured);
        }
      }
    }
  }
}

TEST_CASE("a measured value tells the widest and the narrowest tolerance it fits", "[component]") {
  // Tolerances: E6 20 % to E96 1 % second hand, E192 0.5 % from memory. Worked by hand:
  // 4.55k is 3.2 % below 4.7k: E6, E12 and E24 take it; E48's 4.64k is 1.9 % above it, E96's 4.53k and E192's
  // 0.44 % below.
  const auto all = fitting(4550);
  REQUIRE(all.size() == 6);
  CHECK(all.front().series == Series::E6);
  CHECK(all.front().ohms == 4700);
  CHECK(all[3].ohms == 4640);
  CHECK(all.back().series == Series::E192);
  CHECK(all.back().ohms == 4530);

  // 1.335k lies between 1.2k + 10 % and 1.5k - 10 %: no E12 part; 1.3k + 5 % holds it
  std::vector<Series> series;
  for (const Preferred& one : fitting(1335)) series.push_back(one.series);
  CHECK(std::count(series.begin(), series.end(), Series::E12) == 0);
  CHECK(series.front() == Series::E6);
  CHECK(std::count(series.begin(), series.end(), Series::E24) == 1);

  // the edges belong to it: 4.7k and 10 %
  CHECK(nearest_preferred(Series::E12, 4230)->fits());
  CHECK(nearest_preferred(Series::E12, 5170)->fits());
  CHECK_FALSE(Preferred{Series::E12, 4700, 0.1001}.fits());
  CHECK_FALSE(Preferred{Series::E3, 4700, 0}.fits());
  CHECK_FALSE(usual_tolerance(Series::E3));
}

TEST_CASE("every value of a series fits it", "[component]") {
  for (Series series : kAllSeries) {
    if (!usual_tolerance(series)) continue;
    for (int hundreds : decade_of(series)) {
      const auto near = nearest_preferred(series, hundreds * 1e3);
      REQUIRE(near);
      CHECK(near->fits());
      CHECK_THAT(near->ohms, WithinRel(hundreds * 1e3, 1e-12));
    }
  }
}

TEST_CASE("usual track values of guitar pots are in no series", "[component]") {
  // 250k, 500k: common practice, no source.
  for (Series series : kAllSeries) {
    for (Ohms track : {250e3, 500e3}) CHECK(std::abs(nearest_preferred(series, track)->off) > 0.001);
  }
}
