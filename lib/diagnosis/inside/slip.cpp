#include "diagnosis/inside/slip.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "diagnosis/inside/comparison.h"

namespace lugwise::diagnosis::inside {
namespace {

// What slips are: a tip on nothing, a range misread, and all else, such as a tip on another point.
constexpr double kShowsOpen = 0.5;
constexpr double kMisread = 0.25;
constexpr double kElse = 1 - kShowsOpen - kMisread;
// From a tenth of an ohm to 20 megohms.
constexpr Ohms kLeastShown = 0.1;
constexpr Ohms kMostShown = 2e7;
const double kSpan = std::log(kMostShown / kLeastShown);

// A beeper sounds or doesn't.
constexpr double kBeeps = 0.5;

// Ranges are misread by one decade, or by a kilo.
struct Decade {
  double factor, chance;
};
constexpr Decade kDecades[] = {{10, 0.4}, {0.1, 0.4}, {1000, 0.1}, {0.001, 0.1}};

// Of a reading without an upper limit: that it is open.
constexpr double kOpenBeside = 0.5;

// Limits nearer than this are so far apart: the meter's own spread is in none of them.
constexpr double kLeastSpread = 0.05;

}  // namespace

double log_slip() {
  static const double log = std::log(kSlip);
  return log;
}

double log_of_anything(const Meter& meter, const Observation& observation) {
  if (observation.shows == Shows::OverRange) return std::log(kShowsOpen);
  if (observation.shows != Shows::Value) return std::log(kBeeps);
  // No finer than the display: what lies below its last digit is all shown as nought.
  const double step =
      meter.step(observation.range ? *observation.range : range_for(meter, observation.value));
  const double shown = std::max({observation.value, observation.resolution, step});
  return std::log(kElse / kSpan / shown);
}

double log_of_decade(double value, double mean, double variance) {
  double density = 0;
  for (const Decade& each : kDecades) {
    const double deviation = each.factor * std::sqrt(variance);
    const double z = (value - each.factor * mean) / deviation;
    if (std::abs(z) > 8) continue;
    density += each.chance * std::exp(-z * z / 2) / (deviation * std::sqrt(2 * std::numbers::pi));
  }
  return density > 0 ? std::log(kMisread * density) : -HUGE_VAL;
}

double log_within(const Harness& harness, const Meter& meter, const Observation& observation,
                  const Comparison& sound, const Found& found) {
  double likely = 0;
  if (can_show(harness, meter, observation, sound, found)) {
    const bool over = observation.shows == Shows::OverRange;
    if (found.open()) {
      likely = observation.shows == Shows::Beep ? 0 : 1;
    } else {
      const double open = found.high ? 0 : kOpenBeside;
      const double low = std::max(*found.low, kLeastShown);
      const double high = std::max(found.high.value_or(kMostShown), low * (1 + kLeastSpread));
      const double span = std::log(high / low) + 2 * kLeastSpread;
      if (over) {
        const double above = std::log(std::max(1.0, high / std::max(low, sound.range.top))) / span;
        likely = open + (1 - open) * above;
      } else if (observation.shows == Shows::Value) {
        likely = (1 - open) / span / std::max({observation.value, observation.resolution, kLeastShown});
      } else {
        likely = kBeeps;
      }
    }
  }
  return std::log((1 - kSlip) * likely + kSlip * std::exp(log_of_anything(meter, observation)));
}

}  // namespace lugwise::diagnosis::inside
