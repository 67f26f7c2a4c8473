#include "diagnosis/inside/comparison.h"

#include <algorithm>
#include <cmath>

#include "diagnosis/inside/farads_comparison.h"
#include "handling/dial.h"
#include "handling/handling.h"

namespace lugwise::diagnosis::inside {
namespace {

// A reading of no more than the leads and so many ohms is as good as none.
constexpr Ohms kNextToNothing = 1;

// Two readings of one place are the same within a tenth and so many of the last digit; OL goes with a number so near the
// top of its range.
constexpr double kSameShare = 0.1;
constexpr double kSameDigits = 5;
constexpr double kNearTop = 0.95;

// A beeper's threshold is a rough one.
constexpr double kBeeperVaries = 1.5;

void judge_agreement(const Meter& meter, const Observation& observation, Comparison& comparison) {
  const Expected& expected = comparison.expected;
  const bool surely_open = expected.open;
  const bool maybe_open = expected.open || expected.unlimited;
  const double round = std::max(meter.step(comparison.range), observation.resolution) * 0.500001;
  switch (observation.shows) {
    case Shows::Value: {
      if (surely_open) {
        comparison.agrees = false;
        break;
      }
      // Leads that were zeroed, or tips pressed harder than when they were measured, show less: that is no fault.
      const double low = comparison.shows.low > kNextToNothing + meter.leads_low
                             ? comparison.shows.low
                             : comparison.shows.low - meter.leads_low;
      if (observation.value < low - round) {
        comparison.agrees = false;
        comparison.off = observation.value / std::max(comparison.shows.low, 1e-9) - 1;
      } else if (!expected.unlimited && observation.value > comparison.shows.high + round) {
        comparison.agrees = false;
        comparison.off = observation.value / std::max(comparison.shows.high, 1e-9) - 1;
      }
      break;
    }
    case Shows::OverRange:
      comparison.agrees = maybe_open || comparison.shows.high > comparison.range.top - round;
      break;
    case Shows::Beep:
      comparison.agrees = !surely_open && expected.ohms.low < kBeeperVaries * meter.beeps_below;
      break;
    case Shows::NoBeep:
      comparison.agrees = maybe_open || expected.ohms.high > meter.beeps_below / kBeeperVaries;
      break;
    case Shows::Unstable:
    case Shows::Jumps:
      comparison.agrees = false;
      break;
    case Shows::Steady:
    case Shows::Smooth:
      break;
  }
}

}  // namespace

State state_of(const Observation& observation, const DiagnosisOptions& options) {
  return lugwise::state_of(observation, options.stage, options.temperature);
}

int plugs_among(const Harness& harness, const Observation& observation) {
  return plugs_among(harness, observation.a, observation.b);
}

bool says_too_little(const Harness& harness, const Meter& meter, const Observation& observation,
                     const Comparison& comparison) {
  if (observation.shows != Shows::OverRange || observation.capacitor || !comparison.agrees ||
      comparison.expected.open || comparison.expected.unlimited ||
      comparison.shows.low <= comparison.range.top)
    return false;
  return range_for(meter, comparison.expected.ohms.high, plugs_among(harness, observation)).top >
         comparison.range.top;
}

bool can_show(const Harness& harness, const Meter& meter, const Observation& observation,
              const Comparison& sound, const Found& found) {
  Comparison beside;
  beside.expected.open = found.open();
  beside.expected.unlimited = found.low && !found.high;
  const Ohms low = found.low.value_or(0);
  beside.expected.ohms = {low, found.nominal.value_or(low), found.high.value_or(low)};
  beside.range = !meter.automatic                        ? sound.range
                 : observation.shows == Shows::Value     ? range_for(meter, observation.value)
                 : observation.shows == Shows::OverRange ? meter.ranges.back()
                                                         : sound.range;
  beside.shows = window(meter, beside.range, beside.expected.ohms, plugs_among(harness, observation));
  judge_agreement(meter, observation, beside);
  return beside.agrees;
}

bool may_both_be(const Meter& meter, const Observation& earlier, const Observation& later) {
  if (earlier.shows == Shows::Value && later.shows == Shows::Value) {
    const double digits = kSameDigits * std::max(earlier.resolution, later.resolution);
    return std::abs(earlier.value - later.value) <=
           kSameShare * std::max(earlier.value, later.value) + digits;
  }
  if (earlier.shows == later.shows) return true;
  const auto above = [&](const Observation& over, const Observation& value) {
    return over.shows == Shows::OverRange && value.shows == Shows::Value && over.range &&
           value.value > kNearTop * over.range->top;
  };
  const auto heard = [&](const Observation& beep, const Observation& other) {
    if (beep.shows == Shows::Beep)
      return other.shows == Shows::Value && other.value < kBeeperVaries * meter.beeps_below;
    return beep.shows == Shows::NoBeep &&
           (other.shows == Shows::OverRange ||
            (other.shows == Shows::Value && other.value > meter.beeps_below / kBeeperVaries));
  };
  return above(earlier, later) || above(later, earlier) || heard(earlier, later) || heard(later, earlier);
}

Comparison compare_in(const Circuit& circuit, const Expected& expected, const Harness& harness,
                      const Observation& observation, const DiagnosisOptions& options) {
  Comparison comparison;
  comparison.expected = expected;
  if (observation.capacitor) {
    comparison.range = options.meter.ranges.back();
    comparison.shows = window(options.meter, comparison.range, expected.ohms);
    compare_farads(harness, options.meter, observation, comparison);
    return comparison;
  }
  const int plugs = plugs_among(harness, observation);
  const Meter& meter = options.meter;
  // Compared on its own range; where that isn't known, or the meter picks it, on the one a sound reading would have.
  const bool over_all = !observation.range && meter.automatic && observation.shows == Shows::OverRange;
  const auto on = [&](const Range& range) {
    comparison.range = range;
    comparison.shows = window(meter, range, expected.ohms, plugs);
  };
  on(observation.range ? *observation.range
     : over_all        ? meter.ranges.back()
                       : range_to_take(meter, expected, plugs));
  judge_agreement(meter, observation, comparison);
  // What should have stood there stands on a range of its own.
  if (over_all && !comparison.agrees) on(range_to_take(meter, expected, plugs));
  if (observation.shows == Shows::Value && options.temperature.known && expected.known &&
      through_coils(expected)) {
    const Ohms cool = *nominal_at_20(circuit, observation.a, observation.b);
    const Ohms shown = window(meter, comparison.range, {cool, cool, cool}, plugs).nominal;
    comparison.at_20 = observation.value * shown / comparison.shows.nominal;
  }
  return comparison;
}

}  // namespace lugwise::diagnosis::inside
