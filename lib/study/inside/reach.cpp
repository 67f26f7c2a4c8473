#include "study/inside/reach.h"

#include <algorithm>

#include "expectation/corner.h"

namespace lugwise::study::inside {

Reach reach_of(const Harness& harness, const Meter& meter, const Step& step, const Circuit& circuit) {
  const auto corner = [&](Corner which, Modules modules) {
    return network_at(circuit, loose_resistors_at(circuit, which), modules)
        .resistance(step.a.index, step.b.index);
  };
  const auto low = corner(Corner::Low, Modules::Joined);
  const auto high = corner(Corner::High, Modules::Apart);
  const int plugs = (harness[step.a].role == PointRole::Plug) + (harness[step.b].role == PointRole::Plug);
  const auto shown = [&](Ohms ohms) { return window(meter, step.range, {ohms, ohms, ohms}, plugs); };
  Reach reach;
  reach.always_over = !low;
  reach.maybe_over = !high;
  if (low) reach.low = shown(*low).low;
  if (high) reach.high = shown(*high).high;
  return reach;
}

Reach reach_if_sound(const Step& step) {
  return {step.expected.open, step.expected.open || step.expected.unlimited, step.shows.low, step.shows.high};
}

bool apart(const Meter& meter, const Step& step, const Reach& one, const Reach& other) {
  const double round = meter.step(step.range);
  const double top = step.range.top - round;
  const auto below_top = [&](const Reach& each) { return !each.maybe_over && each.high < top; };
  if (one.always_over) return below_top(other);
  if (other.always_over) return below_top(one);
  const auto above = [&](const Reach& high, const Reach& low) {
    return below_top(low) && high.low > low.high + round;
  };
  return above(one, other) || above(other, one);
}

bool is_below(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen) {
  const double round = std::max(meter.step(step.range), seen.resolution) * 0.500001;
  if (reach.always_over || reach.maybe_over) return false;
  if (seen.shows == Shows::OverRange) return reach.high <= step.range.top - round;
  return seen.value > reach.high + round;
}

bool is_above(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen) {
  if (seen.shows == Shows::OverRange) return false;
  const double round = std::max(meter.step(step.range), seen.resolution) * 0.500001;
  return reach.always_over || seen.value < reach.low - round;
}

bool may_show(const Meter& meter, const Step& step, const Reach& reach, const Observation& seen) {
  return !is_below(meter, step, reach, seen) && !is_above(meter, step, reach, seen);
}

}  // namespace lugwise::study::inside
