#include "record/spot.h"

#include "circuit/capacitance.h"

namespace lugwise {

bool takes_reading(const Step& step) {
  return step.kind == StepKind::Read || step.kind == StepKind::Sweep || step.kind == StepKind::Wiggle;
}

Observation spot_of(const Harness& harness, const Step& step) {
  Observation place;
  place.action = step.kind == StepKind::Sweep    ? Action::Sweep
                 : step.kind == StepKind::Wiggle ? Action::Wiggle
                                                 : Action::Read;
  place.a = step.a;
  place.b = step.b;
  place.setting = step.setting;
  place.access = step.access;
  place.swept = step.swept;
  place.wiggled = step.wiggled;
  place.lifted = step.lifted;
  place.range = step.range;
  if (step.capacitance) place.capacitor = capacitor_between(harness, step.a, step.b);
  if (step.number > 0) place.step = step.number;
  return place;
}

bool same_range(const Observation& x, const Observation& y) {
  return !x.range || !y.range || x.range->top == y.range->top;
}

}  // namespace lugwise
