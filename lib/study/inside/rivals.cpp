#include "study/inside/rivals.h"

#include <algorithm>

namespace lugwise::study::inside {
namespace {

// The places that a wrong step may point to.
std::vector<const Fault*> places_behind(const Plan& plan, const WrongStep& wrong) {
  std::vector<const Fault*> places;
  for (std::size_t f : wrong.step->proves) {
    const Fault& fault = plan.faults[f];
    if (wrong.step->kind == StepKind::Read && wrong.low != (fault.mode == Mode::Short)) continue;
    if (std::none_of(places.begin(), places.end(),
                     [&](const Fault* other) { return same_place(*other, fault); }))
      places.push_back(&fault);
  }
  return places;
}

}  // namespace

Rivals rivals_of(const Harness& harness, const StudyOptions& options, const Plan& plan,
                 const std::vector<const Step*>& steps, const WrongStep& wrong, const Fault& fault) {
  const std::vector<const Fault*> places = places_behind(plan, wrong);
  std::size_t at = 0;
  while (at < places.size() && !same_place(*places[at], fault)) ++at;
  const std::size_t count = std::max(places.size(), at + 1);
  const Costs& costs = options.costs;
  const double each = costs.read + costs.move_probe;
  const Step& first = *wrong.step;
  const double opening = first.access.depth > 0 || on_bench(harness, options.stage) ? 0 : costs.open_cavity;

  Rivals rivals;
  Hands hands{left_at(first), first.a, first.b, first.access.depth, first.range.top};
  for (const Step* step : steps) {
    if (step->number <= first.number) continue;
    const Hands wanted{step->setting, step->a, step->b, step->access.depth, step->range.top};
    rivals.in_order.seconds += seconds_to_read(harness, costs, hands, wanted);
    rivals.in_order.probes += 1;
    hands = wanted;
    hands.setting = left_at(*step);
  }
  const double traced = count < 2 ? 0 : static_cast<double>(std::min(at + 1, count - 1));
  rivals.in_order.probes += traced;
  if (hands.depth == 0 && traced > 0) rivals.in_order.seconds += opening;
  rivals.in_order.seconds += each * traced;

  std::size_t low = 0;
  std::size_t high = count;
  while (high - low > 1) {
    const std::size_t middle = low + (high - low) / 2;
    (at < middle ? high : low) = middle;
    rivals.halving.probes += 1;
  }
  rivals.halving.seconds = each * rivals.halving.probes + (rivals.halving.probes > 0 ? opening : 0);
  return rivals;
}

}  // namespace lugwise::study::inside
