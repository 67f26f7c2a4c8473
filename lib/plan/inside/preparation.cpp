#include "plan/inside/preparation.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "handling/handling.h"
#include "plan/inside/caution.h"
#include "plan/inside/openings.h"

namespace lugwise::plan::inside {
namespace {

// What one conductor of a sound test cable has at most, where nobody measured it; common practice, no source.
constexpr Ohms kGoodConductor = 1;

class Preparer {
 public:
  Preparer(const Harness& harness, const PlanOptions& options) : harness_(harness), options_(options) {}

  std::vector<Step> prepare() {
    const Access first = openings(harness_, options_).front();
    if (has_battery(harness_)) {
      add_preparation(
          fmt::format("Take the battery out and cover its clip{}.",
                      on_bench(harness_, options_.stage) ? "" : "; close up again what that opened"),
          first);
    }
    const Meter& meter = options_.meter;
    const std::string leads =
        meter.leads_high > 0
            ? fmt::format("up to {:g} ohm is the leads, which the limits allow for: subtract nothing",
                          meter.leads_high)
            : "zeroed, it shows 0";
    add_preparation(fmt::format("Touch the tips together on the lowest range and note what the meter shows; "
                                "{}. Do it once more after the last step.",
                                leads),
                    first);
    steps_.back().tips_together = true;
    if (first.depth == 0) prove_cable(first);
    return std::move(steps_);
  }

 private:
  // Every reading at the plug runs through it.
  void prove_cable(const Access& first) {
    const auto plugs = [&](const Point& point) { return point.role == PointRole::Plug; };
    const auto within = reachable(harness_, options_.stage, first.depth);
    if (std::none_of(within.begin(), within.end(), [&](PointId point) { return plugs(harness_[point]); }))
      return;
    const Meter& meter = options_.meter;
    const Range& lowest = meter.ranges.front();
    const auto through = [&](Ohms ohms) {
      const Window shows = window(meter, lowest, {0, ohms, ohms});
      return fmt::format("{} to {} on {}", display(meter, lowest, shows.low),
                         display(meter, lowest, shows.high), range_name(lowest.top));
    };
    const Ohms each = meter.cable > 0 ? meter.cable / 2 : kGoodConductor;
    add_preparation(
        fmt::format(
            "The test cable first, without the instrument: from the tip to the sleeve of its far plug the "
            "meter must show {} on its highest range.",
            meter.over),
        first);
    add_preparation(
        fmt::format("Through the cable: from the tip of one plug to that of the other it must show {}.",
                    through(each)),
        first);
    add_preparation(
        fmt::format("And from sleeve to sleeve: {}. Bend the cable at both plugs meanwhile; a display "
                    "that jumps is the cable's fault, not the instrument's.",
                    through(each)),
        first);
  }

  void add_preparation(std::string sentence, Access access) {
    Step step;
    step.number = static_cast<int>(steps_.size()) + 1;
    step.kind = StepKind::Prepare;
    step.instruction = std::move(sentence);
    step.access = std::move(access);
    step.setting = Setting(harness_);
    step.range = options_.meter.ranges.front();
    steps_.push_back(std::move(step));
  }

  const Harness& harness_;
  const PlanOptions& options_;
  std::vector<Step> steps_;
};

}  // namespace

std::vector<Step> preparations_for(const Harness& harness, const PlanOptions& options) {
  return Preparer(harness, options).prepare();
}

}  // namespace lugwise::plan::inside
