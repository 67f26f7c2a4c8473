#include "plan/inside/pace.h"

#include <utility>

#include "handling/handling.h"

namespace lugwise::plan::inside {
namespace {

// With an iron in the hand no probe is held.
bool has_probes(const Step& step) {
  return step.kind != StepKind::Prepare && step.kind != StepKind::Lift && step.kind != StepKind::Refit;
}

bool holds(const Step* before, PointId point) {
  return before && has_probes(*before) && (before->a == point || before->b == point);
}

// Without what is off: that is a step of its own.
Hands hands_at(const Step& step, Setting setting) {
  Hands hands{std::move(setting), {}, {}, step.access.depth, 0, {}};
  if (step.kind != StepKind::Prepare) hands.range = step.range.top;
  if (has_probes(step)) {
    hands.a = step.a;
    hands.b = step.b;
  }
  return hands;
}

double seconds_at(const Costs& costs, const Step& step) {
  switch (step.kind) {
    case StepKind::Sweep:
      return costs.sweep;
    case StepKind::Lift:
      return costs.lift;
    case StepKind::Refit:
      return costs.refit;
    case StepKind::Wiggle:
      return costs.read + costs.wiggle * static_cast<double>(step.wiggled.size());
    case StepKind::Prepare:
    case StepKind::Read:
      break;
  }
  return costs.read;
}

}  // namespace

double seconds_between(const Harness& harness, const Costs& costs, const Step* before, const Step& step) {
  const Hands hands =
      before ? hands_at(*before, left_at(*before)) : Hands{Setting(harness), {}, {}, 0, 0, {}};
  return seconds_at(costs, step) + seconds_to_reach(harness, costs, hands, hands_at(step, step.setting));
}

void park(const Step* before, Step& step) {
  if (holds(before, step.b) && !holds(before, step.a)) std::swap(step.a, step.b);
  // Of two probes that stay, the one that was parked before goes on being the parked one.
  if (holds(before, step.a) && holds(before, step.b) && step.b == before->a) std::swap(step.a, step.b);
  step.parked = holds(before, step.a);
}

}  // namespace lugwise::plan::inside
