#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "plan/inside/bound.h"
#include "plan/inside/caution.h"
#include "plan/inside/disturbed.h"
#include "plan/inside/lift.h"
#include "plan/inside/motion.h"
#include "plan/inside/note.h"
#include "plan/inside/openings.h"
#include "plan/inside/optimum.h"
#include "plan/inside/pace.h"
#include "plan/inside/route.h"
#include "plan/inside/smallest.h"
#include "plan/inside/survey.h"
#include "plan/inside/sweeps.h"
#include "plan/inside/unseen.h"

namespace lugwise {
namespace {

// A quick plan shows this share of what the usual one does, by how common the faults are. A judgement.
constexpr double kQuickShare = 0.8;

// What is asked, all that could be probed, and how all that this shows is shown: the same for a usual and a quick plan.
struct Outlook {
  std::vector<Fault> faults;
  std::vector<double> sizes;
  std::vector<Survey> surveys;
  FaultSet shown;               // what any of it shows
  std::vector<Choice> choices;  // show all of that
};

// Opens, shorts and worn tracks of what is there at this stage, and with a thorough plan all else. After a repair what it
// may have disturbed, of any kind.
std::vector<Fault> faults_asked(const Harness& harness, const PlanOptions& options) {
  std::vector<Fault> faults = faults_at(harness, options.stage);
  weigh(faults, options.common);
  const std::vector<char> may =
      options.after.empty() ? std::vector<char>(faults.size(), 1) : disturbed(harness, faults, options.after);
  const bool all = options.aim == Aim::Thorough || !options.after.empty();
  std::vector<Fault> asked;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    const Fault& fault = faults[f];
    const bool usual = fault.mode == Mode::Open || fault.mode == Mode::Short || is_worn_track(fault);
    if ((usual || all) && may[f]) asked.push_back(fault);
  }
  return asked;
}

// From how many added ohms on a High is asked for, and by which factor a Value is off.
std::vector<double> sizes_asked(const Harness& harness, const PlanOptions& options,
                                const std::vector<Fault>& faults, const std::vector<Setting>& settings) {
  std::vector<double> sizes(faults.size(), 0);
  const auto sized = [](const Fault& fault) { return fault.mode == Mode::High && !is_worn_track(fault); };
  std::vector<Ohms> least(faults.size(), HUGE_VAL);
  if (std::any_of(faults.begin(), faults.end(), sized)) {
    for (const Access& access : openings(harness, options))
      find_least_sizes(harness, faults, options, settings, access, least);
  }
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (sized(faults[f])) sizes[f] = std::max(least[f], kModest);
    if (faults[f].mode == Mode::Value) sizes[f] = 2;
  }
  return sizes;
}

Outlook look_out(const Harness& harness, const PlanOptions& options) {
  Outlook outlook;
  outlook.faults = faults_asked(harness, options);
  const std::vector<Setting> settings = settings_to_try(harness, options.stage);
  outlook.sizes = sizes_asked(harness, options, outlook.faults, settings);
  outlook.shown = FaultSet(outlook.faults.size());
  for (const Access& access : openings(harness, options)) {
    outlook.surveys.push_back(survey(harness, outlook.faults, outlook.sizes, options, settings, access));
    Survey& here = outlook.surveys.back();
    add_sweeps(harness, outlook.faults, options, here);
    for (std::size_t c = 0; c < here.candidates.size(); ++c) outlook.shown |= here.set(c);
  }
  outlook.choices = route(harness, options.costs, outlook.surveys, outlook.faults, outlook.shown);
  return outlook;
}

class Planner {
 public:
  Planner(const Harness& harness, const PlanOptions& options, const Outlook& outlook)
      : harness_(harness),
        options_(options),
        surveys_(outlook.surveys),
        outlook_(outlook),
        covered_(outlook.shown),
        proved_(outlook.faults.size()) {
    plan_.options = options;
    plan_.faults = outlook.faults;
    plan_.sizes = outlook.sizes;
  }

  Plan make(const std::string& harness_id) {
    prepare();
    std::vector<Choice> choices = outlook_.choices;
    if (options_.aim == Aim::Quick) {
      leave_out(choices);
      choices = route(harness_, options_.costs, surveys_, plan_.faults, covered_);
    }
    const Bound bound = bound_of(harness_, options_, surveys_, covered_);
    plan_.least_steps = bound.readings;
    plan_.least_exact = bound.exact;
    plan_.least_seconds = std::max(bound.seconds, seek_optimum(choices, bound.seconds));
    for (const Choice& choice : choices) word(surveys_[choice.survey], choice.candidate);
    covered_ |= proved_;  // what the chosen show beside what was asked of them
    for (std::size_t fault : add_motion(harness_, plan_)) covered_.add(fault);
    plan_.least_seconds += least_for_capacitances();
    if (options_.lift) {
      for (std::size_t fault : add_lifts(harness_, surveys_, covered_, plan_)) covered_.add(fault);
    }
    add_notes(harness_, plan_);
    plan_.seen = covered_.size();
    explain();
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    plan_.id = identity(harness_id);
    return std::move(plan_);
  }

 private:
  double weight_of(const FaultSet& faults) const {
    double sum = 0;
    for (std::size_t f : faults.list()) sum += plan_.faults[f].weight;
    return sum;
  }

  FaultSet shown_by(const std::vector<Choice>& choices) const {
    FaultSet shown(plan_.faults.size());
    for (const Choice& choice : choices) shown |= surveys_[choice.survey].set(choice.candidate);
    shown &= covered_;
    return shown;
  }

  // As steps, without what they read.
  double seconds_of(const std::vector<Choice>& choices) const {
    double sum = 0;
    std::optional<Step> before;
    for (const Choice& choice : choices) {
      const Survey& survey = surveys_[choice.survey];
      const Candidate& probe = survey.candidates[choice.candidate];
      Step step;
      step.kind = probe.swept ? StepKind::Sweep : StepKind::Read;
      step.access = survey.access;
      step.setting = survey.settings[probe.setting];
      step.a = probe.a;
      step.b = probe.b;
      step.range = options_.meter.ranges[probe.range];
      step.swept = probe.swept;
      sum += seconds_between(harness_, options_.costs, before ? &*before : nullptr, step);
      before = std::move(step);
    }
    return sum;
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

  // Where a plan stays at one opening: puts the quickest plan in its place if one is found, and says what none undercuts.
  double seek_optimum(std::vector<Choice>& choices, double bound) const {
    if (choices.empty() || choices.back().survey != 0) return 0;
    const Costs& costs = options_.costs;
    const int depth = surveys_.front().access.depth;
    const double opening = (depth >= 1 ? costs.open_cavity : 0) + (depth >= 2 ? costs.open_cover : 0);
    const double seconds = seconds_of(choices) - opening;
    // What would open more takes longer for that alone.
    if (surveys_.size() > 1 && (depth == 0 ? costs.open_cavity : costs.open_cover) < seconds) return 0;
    if (opening + seconds <= bound + 1e-9) return 0;
    const Optimum optimum = find_optimum(harness_, costs, surveys_, 0, covered_, seconds);
    if (!optimum.quicker.empty()) choices = optimum.quicker;
    return optimum.least + opening;
  }

  // For a quick plan: again and again the step, or all from an opening on, that shows the least for the seconds it takes is
  // given up, as long as what is left shows enough of what is likely.
  void leave_out(std::vector<Choice> choices) {
    const double enough = kQuickShare * weight_of(covered_);
    for (;;) {
      const double weight = weight_of(shown_by(choices));
      const double seconds = seconds_of(choices);
      std::vector<Choice> best;
      double least = HUGE_VAL;
      const auto consider = [&](std::vector<Choice> rest) {
        const double left = weight_of(shown_by(rest));
        if (left < enough - 1e-9) return;
        const double each = (weight - left) / std::max(1e-3, seconds - seconds_of(rest));
        if (each >= least) return;
        least = each;
        best = std::move(rest);
      };
      for (std::size_t i = 0; i < choices.size() && choices.size() > 1; ++i) {
        std::vector<Choice> rest = choices;
        rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
        consider(std::move(rest));
        if (i > 0 && choices[i].survey != choices[i - 1].survey)
          consider({choices.begin(), choices.begin() + static_cast<std::ptrdiff_t>(i)});
      }
      if (best.empty()) break;
      choices = std::move(best);
    }
    covered_ = shown_by(choices);
  }

  void prepare() {
    plan_.cautions = cautions_for(harness_, options_);
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

  std::optional<Step> read(const Survey& survey, std::size_t candidate) const {
    const Candidate& probe = survey.candidates[candidate];
    Step step;
    step.access = survey.access;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
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

  void explain() {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (covered_.has(f)) continue;
      if (outlook_.shown.has(f)) {
        plan_.unseen.push_back({f, "left out to be quick", "the usual plan shows it"});
        continue;
      }
      const Reason reason = why_unseen(harness_, plan_.faults, f, options_, surveys_);
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
    if (options_.aim != Aim::Usual) add(aim_name(options_.aim));
    if (options_.lift) add("lift");
    for (PointId point : options_.after) add(harness_[point].name);
    for (const Step& step : plan_.steps) {
      if (step.kind == StepKind::Prepare || step.kind == StepKind::Lift || step.kind == StepKind::Refit) {
        add(step.instruction.substr(0, 8));
        continue;
      }
      add(harness_[step.a].name);
      add(harness_[step.b].name);
      for (PartId control : harness_.controls()) add(step.setting.place_name(harness_, control));
      if (step.swept) add(harness_[*step.swept].name);
      for (PointId point : step.wiggled) add(harness_[point].name);
      for (PointId point : step.lifted) add(harness_[point].name);
    }
    return fmt::format("{:06x}", (hash ^ hash >> 24 ^ hash >> 48) & 0xffffff);
  }

  const Harness& harness_;
  const PlanOptions& options_;
  const std::vector<Survey>& surveys_;
  const Outlook& outlook_;
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

}  // namespace

std::string_view aim_name(Aim aim) {
  static constexpr std::string_view kNames[] = {"usual", "thorough", "quick"};
  return kNames[static_cast<int>(aim)];
}

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options) {
  PlanOptions made = as_made(harness, options);
  Outlook outlook = look_out(harness, made);
  Plan plan = Planner(harness, made, outlook).make(harness_id);
  plan.options.depth = options.depth;  // as asked
  if (options.walk) plan.walk = walk_ground(harness, options.stage, options.meter, options.temperature);
  if (options.aim == Aim::Usual) return plan;
  if (options.aim == Aim::Thorough) {
    made.aim = Aim::Usual;
    outlook = look_out(harness, made);
  }
  for (const Aim aim : {Aim::Quick, Aim::Usual, Aim::Thorough}) {
    made.aim = aim;
    if (aim == options.aim) {
      plan.trade.push_back(trade_of(harness, plan));
    } else if (aim == Aim::Thorough) {
      const Outlook all = look_out(harness, made);
      plan.trade.push_back(trade_of(harness, Planner(harness, made, all).make(harness_id)));
    } else {
      plan.trade.push_back(trade_of(harness, Planner(harness, made, outlook).make(harness_id)));
    }
  }
  return plan;
}

}  // namespace lugwise
