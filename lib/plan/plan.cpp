#include "plan/plan.h"

#include <algorithm>
#include <set>
#include <utility>

#include "handling/handling.h"
#include "plan/inside/caution.h"
#include "plan/inside/essentials.h"
#include "plan/inside/identity.h"
#include "plan/inside/lift.h"
#include "plan/inside/motion.h"
#include "plan/inside/note.h"
#include "plan/inside/openings.h"
#include "plan/inside/outlook.h"
#include "plan/inside/pace.h"
#include "plan/inside/preparation.h"
#include "plan/inside/reading.h"
#include "plan/inside/smallest.h"
#include "plan/inside/sweeps.h"
#include "plan/inside/trade.h"
#include "plan/inside/unseen.h"
#include "plan/inside/way.h"

namespace lugwise {

using namespace plan::inside;
namespace {

class Planner {
 public:
  // `whole` is the way to all that the outlook shows, where it has been found already.
  Planner(const Harness& harness, const PlanOptions& options, const Outlook& outlook, const Reached& reached,
          const Way* whole = nullptr)
      : harness_(harness),
        options_(options),
        surveys_(outlook.surveys),
        outlook_(outlook),
        reached_(reached),
        whole_(whole),
        covered_(outlook.shown),
        proved_(outlook.faults.size()) {
    plan_.options = options;
    plan_.faults = outlook.faults;
    plan_.sizes = outlook.sizes;
  }

  Plan make(const std::string& harness_id) {
    plan_.cautions = cautions_for(harness_, options_);
    plan_.steps = preparations_for(harness_, options_);
    choose(Detail::Whole);
    plan_.least_seconds += least_for_capacitances();
    if (options_.lift) {
      for (std::size_t fault : add_lifts(harness_, surveys_, covered_, plan_)) covered_.add(fault);
    }
    add_notes(harness_, plan_);
    plan_.seen = covered_.size();
    explain(Detail::Whole);
    count_openings();
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    plan_.id = identity_of(harness_, harness_id, plan_);
    return std::move(plan_);
  }

  // Only what its trade is told from.
  Plan sketch() {
    choose(Detail::Sketch);
    if (options_.lift) {
      for (std::size_t fault : add_lifts(harness_, surveys_, covered_, plan_)) covered_.add(fault);
    }
    plan_.seen = covered_.size();
    explain(Detail::Sketch);
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    return std::move(plan_);
  }

 private:
  // A sketch is what a plan of another aim is compared by: no bounds, no reasons, nothing to be wiggled.
  enum class Detail { Whole, Sketch };

  void choose(Detail detail) {
    const bool quick = options_.aim == Aim::Quick;
    const Bounds bounds = detail == Detail::Whole ? Bounds::Sought : Bounds::LeftOut;
    Way way =
        whole_ ? *whole_
               : find_way(harness_, options_, outlook_, quick ? Bounds::LeftOut : bounds, reached_, covered_);
    if (quick) {
      covered_ = essentials_of(harness_, options_, outlook_, std::move(way.choices));
      way = find_way(harness_, options_, outlook_, bounds, reached_, covered_);
    }
    plan_.least_steps = way.bound.readings;
    plan_.least_exact = way.bound.exact;
    plan_.least_seconds = way.bound.seconds;
    for (const RouteChoice& choice : way.choices) word(surveys_[choice.survey], choice.candidate);
    covered_ |= proved_;  // what the chosen show beside what was asked of them
    for (std::size_t fault :
         add_motion(harness_, plan_, detail == Detail::Whole ? Wiggles::Asked : Wiggles::LeftOut))
      covered_.add(fault);
  }

  // What of the seconds goes into opening it.
  void count_openings() {
    std::set<int> depths;
    for (const Step& step : plan_.steps) {
      if (step.kind != StepKind::Prepare && step.access.depth > 0) depths.insert(step.access.depth);
    }
    if (depths.empty()) return;
    plan_.opening_seconds = options_.costs.open_cavity;
    depths.erase(1);
    plan_.opening_seconds += options_.costs.open_cover * static_cast<double>(depths.size());
  }

  // Each is read, and each range is one more.
  double least_for_capacitances() const {
    std::set<double> tops;
    double sum = 0;
    for (const Step& step : plan_.steps) {
      if (!step.capacitance) continue;
      sum += options_.costs.read;
      tops.insert(step.range.top);
    }
    const std::size_t first = plan_.least_steps > 0 ? 0 : 1;
    if (tops.size() > first) sum += options_.costs.change_range * static_cast<double>(tops.size() - first);
    return sum;
  }

  void word(const Survey& survey, std::size_t candidate) {
    FaultSet shown(plan_.faults.size());
    shown |= survey.set(candidate);
    std::optional<Step> made =
        survey.candidates[candidate].swept ? sweep(survey, candidate, shown) : read(survey, candidate);
    if (!made) {
      covered_ -= shown;
      return;
    }
    Step& step = *made;
    step.number = static_cast<int>(plan_.steps.size()) + 1;
    const Step* before = plan_.steps.empty() ? nullptr : &plan_.steps.back();
    const bool first = !before || before->kind == StepKind::Prepare;
    if (first && prefers(step.b, step.a)) std::swap(step.a, step.b);
    park(before, step);
    step.proves = shown.list();
    shown -= proved_;
    step.fresh = shown.list();
    proved_ |= survey.set(candidate);
    plan_.seconds += seconds_between(harness_, options_.costs, before, step);
    plan_.steps.push_back(std::move(step));
  }

  std::optional<Step> sweep(const Survey& survey, std::size_t candidate, const FaultSet& shown) const {
    const Candidate& probe = survey.candidates[candidate];
    return sweep_step(harness_, options_, plan_.faults, survey.access, survey.settings[probe.setting],
                      *probe.swept, probe.a, probe.b, shown.list());
  }

  Step read(const Survey& survey, std::size_t candidate) const {
    const Candidate& probe = survey.candidates[candidate];
    Step step;
    step.access = survey.access;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
    expect_reading(harness_, options_.meter, circuit_at(harness_, options_, step), step);
    return step;
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

  void explain(Detail detail) {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (covered_.has(f)) continue;
      if (outlook_.shown.has(f)) {
        plan_.unseen.push_back({f, "left out to be quick", "the usual plan shows it"});
        continue;
      }
      if (detail == Detail::Sketch) {
        plan_.unseen.push_back({f, "", ""});
        continue;
      }
      const UnseenReason reason = why_unseen(harness_, plan_.faults, f, options_, surveys_);
      plan_.unseen.push_back({f, reason.why, reason.would});
    }
  }

  const Harness& harness_;
  const PlanOptions& options_;
  const std::vector<Survey>& surveys_;
  const Outlook& outlook_;
  const Reached& reached_;
  const Way* whole_;
  Plan plan_;
  FaultSet covered_;
  FaultSet proved_;
};

// On the bench every depth is full, and what is open anyway costs nothing.
PlanOptions as_made(const Harness& harness, const PlanOptions& options) {
  PlanOptions here = options;
  const bool bench = on_bench(harness, options.stage);
  if (bench) here.depth = Depth::Full;
  if (bench || (!options.after.empty() && openings(harness, options).front().depth >= 1))
    here.costs.open_cavity = 0;
  if (!options.after.empty() && openings(harness, options).front().depth >= 2) here.costs.open_cover = 0;
  return here;
}

}  // namespace

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options,
              const Reached& reached) {
  PlanOptions made = as_made(harness, options);
  Outlook outlook = look_out(harness, made, reached);
  // Of a usual and a quick plan, which begin alike: the quick one leaves out what it can do without.
  std::optional<Way> whole;
  if (options.aim == Aim::Quick)
    whole = find_way(harness, made, outlook, Bounds::LeftOut, reached, outlook.shown);
  Plan plan = Planner(harness, made, outlook, reached, whole ? &*whole : nullptr).make(harness_id);
  plan.options.depth = options.depth;  // as asked
  if (options.walk) plan.walk = walk_ground(harness, options.stage, options.meter, options.temperature);
  if (options.aim == Aim::Usual) return plan;
  // One look at all that a thorough plan asks of serves the others too.
  made.aim = Aim::Thorough;
  const Outlook all = options.aim == Aim::Thorough ? std::move(outlook) : look_out(harness, made, reached);
  made.aim = Aim::Usual;
  const Outlook usual = options.aim == Aim::Thorough ? usual_part(harness, made, all) : std::move(outlook);
  if (!whole) whole = find_way(harness, made, usual, Bounds::LeftOut, reached, usual.shown);
  for (const Aim aim : {Aim::Quick, Aim::Usual, Aim::Thorough}) {
    made.aim = aim;
    Planner planner(harness, made, aim == Aim::Thorough ? all : usual, reached,
                    aim == Aim::Thorough ? nullptr : &*whole);
    plan.trade.push_back(trade_of(harness, aim == options.aim ? plan : planner.sketch()));
  }
  return plan;
}

Setting left_at(const Step& step) {
  Setting setting = step.setting;
  if (step.swept) setting.turn(*step.swept, 10 - step.setting.knob(*step.swept));
  return setting;
}

}  // namespace lugwise
