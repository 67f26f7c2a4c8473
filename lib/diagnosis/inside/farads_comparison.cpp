#include "diagnosis/inside/farads_comparison.h"

#include <algorithm>
#include <cmath>

#include "circuit/capacitance.h"

namespace lugwise::diagnosis::inside {
namespace {

// The chance that the reading was taken or written down wrongly. Less than in ohms: the dial was turned and a lead is off.
constexpr double kSlipInFarads = 0.001;

// What anything shows: from a picofarad to a millifarad, evenly by decades, or OL.
constexpr double kShowsOver = 0.3;
const double kSpan = std::log(1e9);

// A wrong value is up to a thousand times too small or too large, evenly by decades: codes are misread by decades.
constexpr double kMostWrong = 1e3;
const double kWrongSpan = 2 * std::log(kMostWrong);

// An open capacitor leaves the picofarads of the leads: no more than so many of the last digit.
constexpr double kStray = 5;

// A capacitance range takes a short for more farads than it has.
constexpr double kShortShowsOver = 0.9;

double shown_at_least(const Observation& observation) {
  return std::max({observation.value, observation.resolution, 1e-12});
}

}  // namespace

void compare_farads(const Harness& harness, const Meter& meter, const Observation& observation,
                    Comparison& comparison) {
  const Capacitance farads = farads_of(harness, *observation.capacitor);
  comparison.capacitance = observation.range ? capacitance_reading(meter, *observation.range, farads)
                                             : capacitance_reading(meter, farads);
  const Range& range = comparison.capacitance->range;
  const Window& window = comparison.capacitance->shows;
  const double round = std::max(meter.step(range), observation.resolution) * 0.500001;
  if (observation.shows != Shows::Value) {
    comparison.agrees = window.high > range.top - round;
  } else if (observation.value < window.low - round) {
    comparison.agrees = false;
    comparison.off = observation.value / window.low - 1;
  } else if (observation.value > window.high + round) {
    comparison.agrees = false;
    comparison.off = observation.value / window.high - 1;
  }
}

double any_farads(const Observation& observation) {
  if (observation.shows != Shows::Value) return std::log(kShowsOver);
  return std::log((1 - kShowsOver) / kSpan / shown_at_least(observation));
}

double log_of_farads(const Meter& meter, const Observation& observation, const Comparison& comparison,
                     CapacitorIs is) {
  const CapacitanceReading& sound = *comparison.capacitance;
  const bool over = observation.shows != Shows::Value;
  const double stray = kStray * std::max(meter.step(sound.range), observation.resolution);
  double likely = 0;
  switch (is) {
    case CapacitorIs::Sound:
      if (comparison.agrees) likely = over ? 0.5 : 1 / (sound.shows.high - sound.shows.low);
      break;
    case CapacitorIs::AnotherValue: {
      const double shown = over ? sound.range.top : shown_at_least(observation);
      const double factor = shown / sound.farads.nominal;
      if (over) {
        likely = std::clamp(std::log(kMostWrong / factor) / kWrongSpan, 0.0, 1.0);
      } else if (!comparison.agrees && shown > stray && factor <= kMostWrong && factor >= 1 / kMostWrong) {
        likely = 1 / (kWrongSpan * shown);
      }
      break;
    }
    case CapacitorIs::Open:
      if (!over && observation.value <= stray) likely = 1 / stray;
      break;
    case CapacitorIs::Shorted:
      likely = over ? kShortShowsOver : (1 - kShortShowsOver) * std::exp(any_farads(observation));
      break;
  }
  return std::log((1 - kSlipInFarads) * likely + kSlipInFarads * std::exp(any_farads(observation)));
}

}  // namespace lugwise::diagnosis::inside
