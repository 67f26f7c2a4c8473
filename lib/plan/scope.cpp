#include <algorithm>

#include "plan/plan.h"

namespace lugwise {
namespace {

Scope::Reading reading_of(const Step& step) {
  Scope::Reading reading;
  reading.step = step.number;
  reading.access = step.access;
  reading.setting = step.setting;
  reading.a = step.a;
  reading.b = step.b;
  reading.lifted = step.lifted;
  reading.swept = step.swept;
  reading.wiggled = step.wiggled;
  reading.farads = step.capacitance.has_value();
  reading.expected = step.expected;
  reading.range = step.range;
  reading.shows = step.shows;
  return reading;
}

std::optional<Scope::Cold> cold_of(const Plan& plan) {
  if (plan.smallest.empty()) return std::nullopt;
  std::vector<Ohms> ohms;
  for (const Smallest& each : plan.smallest) ohms.push_back(each.ohms);
  std::sort(ohms.begin(), ohms.end());
  return Scope::Cold{ohms[(ohms.size() - 1) / 2], ohms.back()};
}

}  // namespace

Scope scope_of(const Plan& plan) {
  Scope scope;
  std::vector<std::optional<std::size_t>> number(plan.faults.size());
  for (const Step& step : plan.steps) {
    const bool reads =
        step.kind == StepKind::Read || step.kind == StepKind::Sweep || step.kind == StepKind::Wiggle;
    if (!reads) continue;
    Scope::Reading reading = reading_of(step);
    for (std::size_t f : step.proves) {
      if (!number[f]) {
        number[f] = scope.faults.size();
        scope.faults.push_back(plan.faults[f]);
        scope.sizes.push_back(plan.sizes[f]);
      }
      reading.proves.push_back(*number[f]);
    }
    scope.readings.push_back(std::move(reading));
  }
  scope.cold = cold_of(plan);
  return scope;
}

}  // namespace lugwise
