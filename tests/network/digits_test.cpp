// Milliohms beside megohms: what a guitar's joints, contacts, coils and tracks make together keeps nine
// digits, against exact fractions (support/exact_network.h).
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "shapes.h"
#include "support/catch.h"
#include "support/exact_network.h"

namespace lugwise {
namespace {

constexpr double kDigits = 1e-9;

// A current is a sum with signs: one that all but cancels has digits in proportion to what is left. So a
// current keeps its digits down to a millionth of the probes' ampere, and below that is right to so many
// amperes.
constexpr double kFelt = 1e-6;
constexpr double kStray = 1e-14;

double part_ohms(Dice& dice) {
  constexpr std::array<double, 10> kOhms = {0.001, 0.001, 0.005, 0.005, 0.02, 0.02, 7200, 250e3, 500e3, 10e6};
  return kOhms[dice.below(kOhms.size())] * (0.8 + 0.4 * dice.share());
}

// Mostly a tree, some loops, now and then a component of its own.
Shape random_harness(Dice& dice) {
  Shape shape{4 + dice.below(kSlowBuild ? 6 : 12), {}};
  for (std::uint32_t i = 1; i < shape.points; ++i) {
    if (dice.below(12) > 0) shape.add(dice.below(i), i, part_ohms(dice));
  }
  for (std::uint32_t i = dice.below(9); i > 0; --i) {
    shape.add(dice.below(shape.points), dice.below(shape.points), part_ohms(dice));
  }
  return shape;
}

double off(std::optional<double> found, std::optional<double> truth) {
  if (!found || !truth) return found || truth ? HUGE_VAL : 0;
  return *truth == 0 ? (*found == 0 ? 0 : HUGE_VAL) : std::abs(*found / *truth - 1);
}

TEST_CASE(
    "readings, tables of readings, detours and currents keep nine digits from a milliohm to ten megohms") {
  Dice dice(41);
  double worst_reading = 0;
  double worst_table = 0;
  double worst_detour = 0;
  double worst_share = 0;
  double worst_current = 0;
  double worst_stray = 0;
  for (int round = 0; round < (kSlowBuild ? 10 : 60); ++round) {
    const Shape shape = random_harness(dice);
    const std::uint32_t n = shape.points;
    const Network network = shape.network();
    const ExactNetwork exact(n, shape.resistors);
    std::vector<std::uint32_t> all(n);
    std::iota(all.begin(), all.end(), 0U);
    const std::vector<std::optional<double>> table = network.all_pairs(all);
    for (std::uint32_t a = 0; a < n; ++a) {
      for (std::uint32_t b = 0; b < n; ++b) {
        const std::optional<double> truth = exact.resistance(a, b);
        worst_reading = std::max(worst_reading, off(network.resistance(a, b), truth));
        worst_table = std::max(worst_table, off(table[a * n + b], truth));
      }
    }
    for (int probe = 0; probe < 4; ++probe) {
      const std::uint32_t a = dice.below(n);
      const std::uint32_t b = dice.below(n);
      const std::optional<Flow> flow = network.flow(a, b);
      REQUIRE(flow.has_value() == exact.resistance(a, b).has_value());
      if (!flow) continue;
      std::vector<double> amperes(shape.resistors.size(), 0);
      for (const Current& current : flow->currents) amperes[current.resistor] = current.amperes;
      for (std::uint32_t r = 0; r < amperes.size(); ++r) {
        const double truth = exact.current(r, a, b);
        const double ohms = shape.resistors[r].ohms;
        if (flow->ohms > 0) {
          worst_share =
              std::max(worst_share, std::abs(amperes[r] * amperes[r] - truth * truth) * ohms / flow->ohms);
        }
        if (std::abs(truth) >= kFelt) worst_current = std::max(worst_current, off(amperes[r], truth));
        worst_stray = std::max(worst_stray, std::abs(amperes[r] - truth));
      }
    }
    for (int sample = 0; sample < 3 && !shape.resistors.empty(); ++sample) {
      const std::uint32_t r = dice.below(static_cast<std::uint32_t>(shape.resistors.size()));
      const ExactNetwork lost(n, without(shape.resistors, r));
      worst_detour = std::max(
          worst_detour, off(network.detour(r), lost.resistance(shape.resistors[r].a, shape.resistors[r].b)));
    }
  }
  INFO("worst reading " << worst_reading << ", table " << worst_table << ", detour " << worst_detour
                        << ", share " << worst_share << ", current " << worst_current << ", stray "
                        << worst_stray);
  CHECK(worst_reading < kDigits);
  CHECK(worst_table < kDigits);
  CHECK(worst_detour < kDigits);
  CHECK(worst_share < kDigits);
  CHECK(worst_current < kDigits);
  CHECK(worst_stray < kStray);
}

}  // namespace
}  // namespace lugwise
