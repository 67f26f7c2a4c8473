#include "plan/inside/way.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "plan/inside/optimum.h"
#include "plan/inside/pace.h"

namespace lugwise::plan::inside {
namespace {

// From one stretch of openings to the next.
class WayFinder {
 public:
  WayFinder(const Harness& harness, const PlanOptions& options, const Outlook& outlook, Bounds bounds,
            const Reached& reached)
      : harness_(harness), options_(options), outlook_(outlook), bounds_(bounds), reached_(reached) {}

  Way find(const FaultSet& wanted) const {
    const std::vector<Survey>& surveys = outlook_.surveys;
    Way way;
    way.bound.exact = true;
    FaultSet rest = wanted;
    const bool outside = !surveys.empty() && surveys.front().access.depth == 0;
    for (std::size_t from = 0; from < surveys.size();) {
      const std::size_t to = from == 0 && outside ? 1 : surveys.size();
      go(from, to, rest, way);
      from = to;
    }
    return way;
  }

 private:
  void go(std::size_t from, std::size_t to, FaultSet& rest, Way& way) const {
    const std::vector<Survey>& surveys = outlook_.surveys;
    FaultSet here(outlook_.faults.size());
    for (std::size_t s = from; s < to; ++s) surveys[s].show_all(here);
    here &= rest;
    if (here.empty()) return;
    rest -= here;
    std::optional<Visit> before;
    if (!way.choices.empty()) before = visit_of(options_.costs, surveys, way.choices.back());
    const RouteStretch stretch{from, to, before ? &*before : nullptr};
    std::vector<RouteChoice> choices =
        route(harness_, options_.costs, surveys, stretch, outlook_.faults, here, reached_);
    if (reached_) reached_(0, 0);  // bound and optimum
    Bound bound;
    if (bounds_ == Bounds::Sought) bound = bound_of(harness_, options_, surveys, stretch, here);
    if (!before) bound.seconds = std::max(bound.seconds, seek_optimum(choices, here, bound.seconds));
    if (from == 0 && surveys.front().access.depth == 0) begin_with_a_reading(choices);
    way.bound.readings += bound.readings;
    way.bound.exact = way.bound.exact && bound.exact;
    way.bound.seconds += bound.seconds;
    way.choices.insert(way.choices.end(), choices.begin(), choices.end());
  }

  // Whether it is alive at all is asked before a knob is swept.
  void begin_with_a_reading(std::vector<RouteChoice>& choices) const {
    const auto probe = [&](const RouteChoice& choice) -> const Candidate& {
      return outlook_.surveys[choice.survey].candidates[choice.candidate];
    };
    if (choices.empty() || !probe(choices.front()).swept) return;
    const auto plugs = [&](const RouteChoice& choice) {
      return harness_[probe(choice).a].role == PointRole::Plug &&
             harness_[probe(choice).b].role == PointRole::Plug;
    };
    const bool at_plug = std::any_of(choices.begin(), choices.end(), [&](const RouteChoice& each) {
      return !probe(each).swept && plugs(each);
    });
    std::vector<RouteChoice> best;
    double least = HUGE_VAL;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      if (probe(choices[i]).swept || (at_plug && !plugs(choices[i]))) continue;
      std::vector<RouteChoice> turned = choices;
      const auto reading = turned.begin() + static_cast<std::ptrdiff_t>(i);
      std::rotate(turned.begin(), reading, reading + 1);
      const double seconds = seconds_along(harness_, options_, outlook_.surveys, turned);
      if (seconds >= least) continue;
      least = seconds;
      best = std::move(turned);
    }
    if (!best.empty()) choices = std::move(best);
  }

  // Where it stays at one opening: puts the quickest order and choice in its place if one is found, and says what none
  // undercuts.
  double seek_optimum(std::vector<RouteChoice>& choices, const FaultSet& wanted, double bound) const {
    if (choices.empty() || choices.back().survey != 0) return 0;
    const std::vector<Survey>& surveys = outlook_.surveys;
    const Costs& costs = options_.costs;
    const int depth = surveys.front().access.depth;
    const double opening = (depth >= 1 ? costs.open_cavity : 0) + (depth >= 2 ? costs.open_cover : 0);
    const double seconds = seconds_along(harness_, options_, surveys, choices) - opening;
    if (opening + seconds <= bound + 1e-9) return 0;
    const Optimum optimum = find_optimum(harness_, costs, surveys, 0, wanted, seconds);
    if (!optimum.quicker.empty()) choices = optimum.quicker;
    return optimum.least + opening;
  }

  const Harness& harness_;
  const PlanOptions& options_;
  const Outlook& outlook_;
  Bounds bounds_;
  const Reached& reached_;
};

}  // namespace

Way find_way(const Harness& harness, const PlanOptions& options, const Outlook& outlook, Bounds bounds,
             const Reached& reached, const FaultSet& wanted) {
  return WayFinder(harness, options, outlook, bounds, reached).find(wanted);
}

double seconds_along(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
                     const std::vector<RouteChoice>& choices) {
  double sum = 0;
  std::optional<Step> before;
  for (const RouteChoice& choice : choices) {
    const Survey& survey = surveys[choice.survey];
    const Candidate& probe = survey.candidates[choice.candidate];
    Step step;
    step.kind = probe.swept ? StepKind::Sweep : StepKind::Read;
    step.access = survey.access;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
    step.range = options.meter.ranges[probe.range];
    step.swept = probe.swept;
    sum += seconds_between(harness, options.costs, before ? &*before : nullptr, step);
    before = std::move(step);
  }
  return sum;
}

}  // namespace lugwise::plan::inside
