#include "plan/inside/pace.h"

#include <utility>

namespace lugwise::plan::inside {
namespace {

// With an iron in the hand no probe is held.
bool has_probes(const Step& step) {
  return step.kind != StepKind::Prepare && step.kind != StepKind::Lift && step.kind != StepKind::Refit;
}

bool holds(const Step* before, PointId point) {
  return before && has_probes(*before) && (before->a == point || before->b == point);
}

}  // namespace

double seconds_between(const Harness& harness, const Costs& costs, const Step* before, const Step& step) {
  double sum = costs.read;
  if (step.kind == StepKind::Sweep) sum = costs.sweep;
  if (step.kind == StepKind::Lift) sum = costs.lift;
  if (step.kind == StepKind::Refit) sum = costs.refit;
  if (step.kind == StepKind::Wiggle) sum += costs.wiggle * static_cast<double>(step.wiggled.size());
  const int depth = before ? before->access.depth : 0;
  if (step.access.depth >= 1 && depth < 1) sum += costs.open_cavity;
  if (step.access.depth >= 2 && depth < step.access.depth) sum += costs.open_cover;
  sum +=
      costs.turn_control * turns_between(harness, before ? left_at(*before) : Setting(harness), step.setting);
  const bool reads = before && before->kind != StepKind::Prepare;
  if (reads && before->range.top != step.range.top) sum += costs.change_range;
  if (!has_probes(step)) return sum;
  return sum + costs.move_probe * ((holds(before, step.a) ? 0 : 1) + (holds(before, step.b) ? 0 : 1));
}

void park(const Step* before, Step& step) {
  if (holds(before, step.b) && !holds(before, step.a)) std::swap(step.a, step.b);
  // Of two probes that stay, the one that was parked before goes on being the parked one.
  if (holds(before, step.a) && holds(before, step.b) && step.b == before->a) std::swap(step.a, step.b);
  step.parked = holds(before, step.a);
}

}  // namespace lugwise::plan::inside
