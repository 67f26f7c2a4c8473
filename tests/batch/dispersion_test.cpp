// Which units of a batch are named for a second look.

#include "batch/dispersion.h"
#include "batch/batch.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "support/catch.h"

using namespace lugwise;

namespace {

// Normal readings from raw numbers of the generator, so that every compiler draws the same (Box and Muller 1958).
std::vector<double> good_units(std::mt19937& random, std::size_t n) {
  std::vector<double> values;
  const auto share = [&] { return (static_cast<double>(random()) + 0.5) / 4294967296.0; };
  while (values.size() < n)
    values.push_back(std::sqrt(-2 * std::log(share())) * std::cos(2 * 3.14159265358979323846 * share()));
  return values;
}

}  // namespace

TEST_CASE("of a hundred series of good units about one has a unit that is far off", "[batch]") {
  std::mt19937 random(20261128);
  for (const std::size_t n : {5u, 8u, 9u, 10u, 12u, 20u}) {
    constexpr int kSeries = 8000;
    int flagged = 0;
    for (int i = 0; i < kSeries; ++i) {
      const std::vector<double> z = modified_z(good_units(random, n), 0);
      flagged += *std::max_element(z.begin(), z.end()) > *far_off(n) ? 1 : 0;
    }
    INFO(n << " units");
    // 80 are expected, give or take four times their root.
    CHECK(flagged > 44);
    CHECK(flagged < 116);
  }
}

TEST_CASE("between two sizes of the table the cut-off is the more careful one, and below five there is none",
          "[batch]") {
  CHECK(!far_off(4));
  CHECK(*far_off(11) == *far_off(10));
  CHECK(*far_off(1000) == *far_off(100));
}

TEST_CASE("the limits of the moving range name good units as often as is said", "[batch]") {
  std::mt19937 random(7);
  for (const std::size_t n : {6u, 10u, 17u, 20u, 40u}) {
    constexpr int kSeries = 8000;
    int flagged = 0;
    for (int i = 0; i < kSeries; ++i) {
      const auto found = drift(good_units(random, n), 0);
      flagged += found->outside.empty() && found->jump.empty() ? 0 : 1;
    }
    CHECK_THAT(static_cast<double>(flagged) / kSeries,
               Catch::Matchers::WithinAbs(false_alarms(n), n == 10 || n == 20 ? 0.008
                                                           : n < 30           ? 0.01
                                                                              : 0.02));
  }
}

TEST_CASE(
    "below eight readings the moving range shows one that is off only where it is the first or the last",
    "[batch]") {
  for (std::size_t n = 5; n <= 12; ++n) {
    for (std::size_t at = 0; at < n; ++at) {
      std::vector<double> values(n, 0);
      values[at] = 1;
      const auto found = drift(values, 0);
      INFO(n << " readings, the one at " << at << " is off");
      CHECK((found->outside.empty() && found->jump.empty()) == (n < kShowsOne && at > 0 && at + 1 < n));
    }
  }
}

TEST_CASE("readings that are all alike are neither far off nor drifting", "[batch]") {
  for (const double digit : {0.0, 0.01}) {
    const auto found = drift(std::vector<double>(10, 6.71), digit);
    CHECK(found->outside.empty());
    CHECK(found->jump.empty());
    CHECK(modified_z(std::vector<double>(10, 6.71), digit) == std::vector<double>(10, 0));
  }
}

TEST_CASE("a unit far from the others is found, and most units alike are no zero to divide by", "[batch]") {
  // The MAD of eight alike and two off is zero: half of one digit stands for it. 0.6745 * 0.5 / 0.005 = 67.45
  const std::vector<double> z =
      modified_z({6.71, 6.71, 6.71, 6.71, 6.71, 6.71, 6.71, 6.71, 6.72, 7.21}, 0.01);
  CHECK_THAT(z[9], Catch::Matchers::WithinAbs(67.45, 1e-6));
  // One digit: 0.6745 * 0.01 / 0.005 = 1.349, no reason to look.
  CHECK_THAT(z[8], Catch::Matchers::WithinAbs(1.349, 1e-6));
  CHECK(z[0] == 0);
  CHECK(modified_z({1, 1, 1}, 0) == std::vector<double>{0, 0, 0});
}

TEST_CASE("a wiper at its stop is skewed, a joint is not", "[batch]") {
  CHECK(is_skewed({0.1, 0.8, 51}));
  CHECK(is_skewed({0, 0.8, 300}));
  CHECK(!is_skewed({0, 0.3, 1.7}));
  CHECK(!is_skewed({5850, 6720, 7820}));
}

TEST_CASE("the constants of the control chart are those of ranges of two", "[batch]") {
  // The range of two standard normal readings is |x - y|, x - y normal with variance 2: its mean d2 is 2 / sqrt(pi) and its
  // standard deviation d3 is sqrt(2 - 4 / pi). Control chart tables have, for n = 2, d2 = 1.128, d3 = 0.853, D3 = 0, D4 = 3.267,
  // and for individuals E2 = 3 / d2 = 2.660 (ISO 7870-2 and textbooks; the table's values from memory, the formulas exact).
  const double d2 = 2 / std::sqrt(3.14159265358979323846);
  const double d3 = std::sqrt(2 - d2 * d2);
  CHECK_THAT(d2, Catch::Matchers::WithinAbs(1.128, 0.0005));
  CHECK_THAT(d3, Catch::Matchers::WithinAbs(0.853, 0.0005));
  CHECK_THAT(kIndividuals, Catch::Matchers::WithinAbs(3 / d2, 0.005));
  CHECK_THAT(kMovingRange, Catch::Matchers::WithinAbs(1 + 3 * d3 / d2, 0.0005));
}

TEST_CASE("the moving range follows the arithmetic of the control chart", "[batch]") {
  // Distances 1, 1, 1, 1, 10: mean 2.8; 2.66 * 2.8 = 7.448; 3.267 * 2.8 = 9.1476; mean of 1 2 1 2 1 11 is 3.
  const auto found = drift({1, 2, 1, 2, 1, 11}, 0.1);
  REQUIRE(found);
  CHECK_THAT(found->high, Catch::Matchers::WithinAbs(3 + 7.448, 1e-9));
  CHECK_THAT(found->most, Catch::Matchers::WithinAbs(9.1476, 1e-9));
  CHECK(found->outside == std::vector<std::size_t>{5});
  CHECK(found->jump == std::vector<std::size_t>{5});
}
