#include "plan/inside/essentials.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "plan/inside/way.h"

namespace lugwise::plan::inside {
namespace {

// A quick plan shows this share of what the usual one does, by how common the faults are. A judgement.
constexpr double kQuickShare = 0.8;

double weight_of(const Outlook& outlook, const FaultSet& faults) {
  double sum = 0;
  for (std::size_t f : faults.list()) sum += outlook.faults[f].weight;
  return sum;
}

FaultSet shown_by(const Outlook& outlook, const std::vector<RouteChoice>& choices) {
  FaultSet shown(outlook.faults.size());
  for (const RouteChoice& choice : choices) shown |= outlook.surveys[choice.survey].set(choice.candidate);
  shown &= outlook.shown;
  return shown;
}

}  // namespace

FaultSet essentials_of(const Harness& harness, const PlanOptions& options, const Outlook& outlook,
                       std::vector<RouteChoice> choices) {
  const auto seconds_of = [&](const std::vector<RouteChoice>& some) {
    return seconds_along(harness, options, outlook.surveys, some);
  };
  const double enough = kQuickShare * weight_of(outlook, outlook.shown);
  for (;;) {
    const double weight = weight_of(outlook, shown_by(outlook, choices));
    const double seconds = seconds_of(choices);
    std::vector<RouteChoice> best;
    double least = HUGE_VAL;
    const auto consider = [&](std::vector<RouteChoice> rest) {
      const double left = weight_of(outlook, shown_by(outlook, rest));
      if (left < enough - 1e-9) return;
      const double each = (weight - left) / std::max(1e-3, seconds - seconds_of(rest));
      if (each >= least) return;
      least = each;
      best = std::move(rest);
    };
    // The step, or all from an opening on.
    for (std::size_t i = 0; i < choices.size() && choices.size() > 1; ++i) {
      std::vector<RouteChoice> rest = choices;
      rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
      consider(std::move(rest));
      if (i > 0 && choices[i].survey != choices[i - 1].survey)
        consider({choices.begin(), choices.begin() + static_cast<std::ptrdiff_t>(i)});
    }
    if (best.empty()) break;
    choices = std::move(best);
  }
  return shown_by(outlook, choices);
}

}  // namespace lugwise::plan::inside
