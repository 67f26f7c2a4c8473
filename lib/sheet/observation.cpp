#include "sheet/observation.h"

#include <algorithm>
#include <utility>

namespace lugwise {

Setting other_end(const Setting& start, PartId swept) {
  Setting end = start;
  end.turn(swept, 10 - start.knob(swept));
  return end;
}

bool at_one_place(const Observation& x, const Observation& y) {
  return std::minmax(x.a, x.b) == std::minmax(y.a, y.b) && x.action == y.action && x.setting == y.setting &&
         x.lifted == y.lifted && x.swept == y.swept && x.wiggled == y.wiggled && x.capacitor == y.capacitor &&
         (x.access.depth > 0) == (y.access.depth > 0);
}

bool same_range(const Observation& x, const Observation& y) {
  return !x.range || !y.range || x.range->top == y.range->top;
}

State state_of(const Observation& reading, std::optional<std::size_t> stage, Temperature temperature) {
  return {reading.setting, stage, reading.access.depth > 0, reading.lifted, temperature};
}

double seconds_to_take(const Harness& harness, const Costs& costs, Hands& hands, const Observation& reading) {
  Hands wanted{reading.setting,
               reading.a,
               reading.b,
               std::max(reading.access.depth, hands.depth),
               reading.range ? reading.range->top : hands.range,
               reading.lifted};
  double seconds = seconds_to_read(harness, costs, hands, wanted);
  if (reading.action == Action::Sweep) seconds += costs.sweep - costs.read;
  if (reading.action == Action::Wiggle) seconds += costs.wiggle * static_cast<double>(reading.wiggled.size());
  if (reading.action == Action::Sweep && reading.swept)
    wanted.setting = other_end(reading.setting, *reading.swept);
  hands = std::move(wanted);
  return seconds;
}

}  // namespace lugwise
