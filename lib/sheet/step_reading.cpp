#include "sheet/step_reading.h"

#include "circuit/capacitance.h"

namespace lugwise {

bool takes_reading(const Step& step) {
  return step.kind == StepKind::Read || step.kind == StepKind::Sweep || step.kind == StepKind::Wiggle;
}

Observation as_observation(const Harness& harness, const Step& step) {
  Observation seen;
  seen.action = step.kind == StepKind::Sweep    ? Action::Sweep
                : step.kind == StepKind::Wiggle ? Action::Wiggle
                                                : Action::Read;
  seen.a = step.a;
  seen.b = step.b;
  seen.setting = step.setting;
  seen.access = step.access;
  seen.swept = step.swept;
  seen.wiggled = step.wiggled;
  seen.lifted = step.lifted;
  seen.range = step.range;
  if (step.capacitance) seen.capacitor = capacitor_between(harness, step.a, step.b);
  if (step.number > 0) seen.step = step.number;
  return seen;
}

}  // namespace lugwise
