#include "plan/inside/trade.h"

#include <vector>

#include "fault/fault.h"

namespace lugwise::plan::inside {

Trade trade_of(const Harness& harness, const Plan& plan) {
  Trade trade;
  trade.aim = plan.options.aim;
  for (const Step& step : plan.steps) {
    if (step.kind != StepKind::Prepare && step.kind != StepKind::Wiggle) ++trade.steps;
  }
  trade.seconds = plan.seconds + plan.lift_seconds;
  trade.seen = plan.seen;
  trade.of = plan.faults.size();
  std::vector<char> unseen(plan.faults.size(), 0);
  for (const Unseen& one : plan.unseen) unseen[one.fault] = 1;
  double all = 0;
  for (std::size_t f = 0; f < plan.faults.size(); ++f) {
    const Fault& fault = plan.faults[f];
    if (fault.mode != Mode::Open && fault.mode != Mode::Short && !is_worn_track(fault)) continue;
    all += fault.weight;
    if (!unseen[f]) trade.weight += fault.weight;
  }
  if (all > 0) trade.weight /= all;
  for (const Smallest& one : plan.smallest) {
    if (one.ohms <= kModest * (1 + 1e-6)) ++trade.cold;
  }
  for (const Element& element : harness.elements()) {
    const ElementKind kind = element.kind;
    if (kind == ElementKind::Joint || kind == ElementKind::Blob || kind == ElementKind::Contact)
      ++trade.joints;
  }
  return trade;
}

}  // namespace lugwise::plan::inside
