#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "plan/inside/bound.h"
#include "plan/inside/caution.h"
#include "plan/inside/motion.h"
#include "plan/inside/note.h"
#include "plan/inside/pace.h"
#include "plan/inside/route.h"
#include "plan/inside/smallest.h"
#include "plan/inside/survey.h"
#include "plan/inside/unseen.h"

namespace lugwise {
namespace {

class Planner {
 public:
  Planner(const Harness& harness, const PlanOptions& options) : harness_(harness), options_(options) {}

  Plan make(const std::string& harness_id) {
    plan_.options = options_;
    list_faults();
    covered_ = FaultSet(plan_.faults.size());
    proved_ = covered_;

    const std::vector<Setting> settings = settings_to_try(harness_, options_.stage);
    std::vector<Survey> surveys;
    const std::vector<Access> depths = accesses(harness_, options_.stage);
    surveys.reserve(depths.size());
    for (const Access& access : depths) {
      if (options_.depth == Depth::Outside && access.depth > 0) break;
      surveys.push_back(survey(harness_, plan_.faults, options_, settings, access));
      const Survey& here = surveys.back();
      for (std::size_t c = 0; c < here.candidates.size(); ++c) covered_ |= here.set(c);
    }
    const Bound bound = bound_of(harness_, options_, surveys, covered_);
    plan_.least_steps = bound.readings;
    plan_.least_exact = bound.exact;
    plan_.least_seconds = bound.seconds;
    prepare();
    for (const Choice& choice : route(harness_, options_.costs, surveys, plan_.faults, covered_))
      word(surveys[choice.survey], choice.candidate);
    for (std::size_t fault : add_motion(harness_, plan_)) covered_.add(fault);
    plan_.least_seconds += sweeping();
    add_notes(harness_, plan_);
    plan_.seen = covered_.size();
    explain(surveys);
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    plan_.id = identity(harness_id);
    return std::move(plan_);
  }

 private:
  // Opens, shorts and worn tracks of what is there at this stage.
  void list_faults() {
    std::vector<Fault> faults = faults_at(harness_, options_.stage);
    weigh(faults, options_.common);
    for (Fault& fault : faults) {
      if (fault.mode == Mode::Open || fault.mode == Mode::Short || is_worn_track(fault))
        plan_.faults.push_back(std::move(fault));
    }
  }

  // The seconds that sweeping takes by itself, once a knob, whatever the order.
  double sweeping() const {
    std::set<PartId> swept;
    for (const Step& step : plan_.steps) {
      if (step.swept) swept.insert(*step.swept);
    }
    return options_.costs.sweep * static_cast<double>(swept.size());
  }

  void prepare() {
    plan_.cautions = cautions_for(harness_, options_);
    const Access first = accesses(harness_, options_.stage).front();
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
    plan_.steps.back().tips_together = true;
  }

  void add_preparation(std::string sentence, Access access) {
    Step step;
    step.number = static_cast<int>(plan_.steps.size()) + 1;
    step.kind = StepKind::Prepare;
    step.instruction = std::move(sentence);
    step.access = std::move(access);
    step.setting = Setting(harness_);
    step.range = options_.meter.ranges.front();
    plan_.steps.push_back(std::move(step));
  }

  void word(const Survey& survey, std::size_t candidate) {
    const Candidate& probe = survey.candidates[candidate];
    Step step;
    step.number = static_cast<int>(plan_.steps.size()) + 1;
    step.access = survey.access;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
    const Step* before = plan_.steps.empty() ? nullptr : &plan_.steps.back();
    const bool first = !before || before->kind == StepKind::Prepare;
    if (first && prefers(step.b, step.a)) std::swap(step.a, step.b);
    park(before, step);
    State state;
    state.setting = step.setting;
    state.stage = options_.stage;
    state.cavity_open = step.access.depth > 0;
    state.temperature = options_.temperature;
    const Circuit circuit = circuit_of(harness_, state);
    step.expected = expect(circuit, step.a, step.b);
    const int plugs = (harness_[step.a].role == PointRole::Plug) + (harness_[step.b].role == PointRole::Plug);
    step.range = step.expected.open ? options_.meter.ranges.back()
                                    : range_for(options_.meter, step.expected.ohms.high, plugs);
    step.shows = window(options_.meter, step.range, step.expected.ohms, plugs);
    FaultSet shown(plan_.faults.size());
    shown |= survey.set(candidate);
    step.proves = shown.list();
    shown -= proved_;
    step.fresh = shown.list();
    proved_ |= survey.set(candidate);
    plan_.seconds += seconds_between(harness_, options_.costs, before, step);
    plan_.steps.push_back(std::move(step));
  }

  // A plug's sleeve, then a surface, makes the better parking place.
  bool prefers(PointId x, PointId y) const {
    const auto rank = [&](PointId point) {
      const Point& at = harness_[point];
      if (at.role == PointRole::Plug) return at.name.ends_with("sleeve") ? 0 : 2;
      return at.role == PointRole::Surface ? 1 : 3;
    };
    return rank(x) < rank(y);
  }

  void explain(const std::vector<Survey>& surveys) {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (covered_.has(f)) continue;
      const Reason reason = why_unseen(harness_, plan_.faults[f], options_, surveys);
      plan_.unseen.push_back({f, reason.why, reason.would});
    }
  }

  // FNV-1a over what the plan is made from and what it asks: the same steps, the same id.
  std::string identity(const std::string& harness_id) const {
    std::uint64_t hash = 14695981039346656037ULL;
    const auto add = [&](std::string_view text) {
      for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
      hash = (hash ^ 0x1f) * 1099511628211ULL;
    };
    add(harness_id);
    add(options_.stage ? harness_.stages()[*options_.stage].name : "");
    add(options_.depth == Depth::Full ? "full" : "outside");
    for (const Step& step : plan_.steps) {
      if (step.kind == StepKind::Prepare) {
        add(step.instruction.substr(0, 8));
        continue;
      }
      add(harness_[step.a].name);
      add(harness_[step.b].name);
      for (PartId control : harness_.controls()) add(step.setting.place_name(harness_, control));
      if (step.swept) add(harness_[*step.swept].name);
      for (PointId point : step.wiggled) add(harness_[point].name);
    }
    return fmt::format("{:06x}", (hash ^ hash >> 24 ^ hash >> 48) & 0xffffff);
  }

  const Harness& harness_;
  const PlanOptions& options_;
  Plan plan_;
  FaultSet covered_;
  FaultSet proved_;
};

}  // namespace

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options) {
  PlanOptions here = options;
  if (on_bench(harness, options.stage)) {
    here.depth = Depth::Full;
    here.costs.open_cavity = 0;
  }
  Plan plan = Planner(harness, here).make(harness_id);
  plan.options.depth = options.depth;  // as asked: on the bench both are the same
  return plan;
}

}  // namespace lugwise
