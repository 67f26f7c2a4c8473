#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "handling/handling.h"
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
#include "source/fingerprint.h"

namespace lugwise {

using namespace plan::inside;
namespace {

// A quick plan shows this share of what the usual one does, by how common the faults are. A judgement.
constexpr double kQuickShare = 0.8;

// What one conductor of a sound test cable has at most, where nobody measured it; common practice, no source.
constexpr Ohms kGoodConductor = 1;

// What is asked, all that could be probed, and what all of it shows: the same for a usual and a quick plan.
struct Outlook {
  std::vector<Fault> faults;
  std::vector<double> sizes;
  std::vector<Survey> surveys;
  FaultSet shown;
};

// Probes in order, and what no others undercut.
struct Way {
  std::vector<RouteChoice> choices;
  Bound bound;
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

Outlook look_out(const Harness& harness, const PlanOptions& options, const Reached& reached) {
  Outlook outlook;
  outlook.faults = faults_asked(harness, options);
  const std::vector<Setting> settings = settings_to_try(harness, options.stage);
  outlook.sizes = sizes_asked(harness, options, outlook.faults, settings);
  outlook.shown = FaultSet(outlook.faults.size());
  for (const Access& access : openings(harness, options)) {
    outlook.surveys.push_back(
        survey(harness, outlook.faults, outlook.sizes, options, settings, access, {}, reached));
    Survey& here = outlook.surveys.back();
    add_sweeps(harness, outlook.faults, options, here);
    here.close();
    here.show_all(outlook.shown);
  }
  return outlook;
}

// The same for those faults that a usual plan asks of, out of an outlook on more.
Outlook usual_part(const Harness& harness, const PlanOptions& options, const Outlook& all) {
  Outlook outlook;
  outlook.faults = faults_asked(harness, options);
  std::vector<std::size_t> number(all.faults.size(), all.faults.size());
  for (std::size_t f = 0; f < all.faults.size(); ++f) {
    const std::size_t next = outlook.sizes.size();
    if (next == outlook.faults.size() || !(outlook.faults[next] == all.faults[f])) continue;
    number[f] = next;
    outlook.sizes.push_back(all.sizes[f]);
  }
  outlook.shown = FaultSet(outlook.faults.size());
  for (const Survey& whole : all.surveys) {
    outlook.surveys.push_back(narrowed(whole, number, outlook.faults.size()));
    outlook.surveys.back().close();
    const Survey& here = outlook.surveys.back();
    here.show_all(outlook.shown);
  }
  return outlook;
}

// As steps, without what they read.
double seconds_of(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
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

// From one stretch of openings to the next.
class WayFinder {
 public:
  WayFinder(const Harness& harness, const PlanOptions& options, const Outlook& outlook, bool bounded,
            const Reached& reached)
      : harness_(harness), options_(options), outlook_(outlook), bounded_(bounded), reached_(reached) {}

  // Everything the plug can show comes first: what is read outside is the plan from outside.
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
    if (bounded_) bound = bound_of(harness_, options_, surveys, stretch, here);
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
      const double seconds = seconds_of(harness_, options_, outlook_.surveys, turned);
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
    const double seconds = seconds_of(harness_, options_, surveys, choices) - opening;
    if (opening + seconds <= bound + 1e-9) return 0;
    const Optimum optimum = find_optimum(harness_, costs, surveys, 0, wanted, seconds);
    if (!optimum.quicker.empty()) choices = optimum.quicker;
    return optimum.least + opening;
  }

  const Harness& harness_;
  const PlanOptions& options_;
  const Outlook& outlook_;
  bool bounded_;
  const Reached& reached_;
};

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
    prepare();
    choose(true);
    plan_.least_seconds += least_for_capacitances();
    if (options_.lift) {
      for (std::size_t fault : add_lifts(harness_, surveys_, covered_, plan_)) covered_.add(fault);
    }
    add_notes(harness_, plan_);
    plan_.seen = covered_.size();
    explain(true);
    count_openings();
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    plan_.id = identity(harness_id);
    return std::move(plan_);
  }

  // Only what its trade is told from: no bounds, no reasons, nothing to be wiggled.
  Plan sketch() {
    choose(false);
    if (options_.lift) {
      for (std::size_t fault : add_lifts(harness_, surveys_, covered_, plan_)) covered_.add(fault);
    }
    plan_.seen = covered_.size();
    explain(false);
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    return std::move(plan_);
  }

 private:
  void choose(bool whole) {
    const bool quick = options_.aim == Aim::Quick;
    Way way =
        whole_ ? *whole_ : WayFinder(harness_, options_, outlook_, whole && !quick, reached_).find(covered_);
    if (quick) {
      leave_out(way.choices);
      way = WayFinder(harness_, options_, outlook_, whole, reached_).find(covered_);
    }
    plan_.least_steps = way.bound.readings;
    plan_.least_exact = way.bound.exact;
    plan_.least_seconds = way.bound.seconds;
    for (const RouteChoice& choice : way.choices) word(surveys_[choice.survey], choice.candidate);
    covered_ |= proved_;  // what the chosen show beside what was asked of them
    for (std::size_t fault : add_motion(harness_, plan_, whole ? Wiggles::Asked : Wiggles::LeftOut))
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

  double weight_of(const FaultSet& faults) const {
    double sum = 0;
    for (std::size_t f : faults.list()) sum += plan_.faults[f].weight;
    return sum;
  }

  FaultSet shown_by(const std::vector<RouteChoice>& choices) const {
    FaultSet shown(plan_.faults.size());
    for (const RouteChoice& choice : choices) shown |= surveys_[choice.survey].set(choice.candidate);
    shown &= covered_;
    return shown;
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

  // For a quick plan: again and again the step, or all from an opening on, that shows the least for the seconds it takes is
  // given up, as long as what is left shows enough of what is likely.
  void leave_out(std::vector<RouteChoice> choices) {
    const double enough = kQuickShare * weight_of(covered_);
    for (;;) {
      const double weight = weight_of(shown_by(choices));
      const double seconds = seconds_of(harness_, options_, surveys_, choices);
      std::vector<RouteChoice> best;
      double least = HUGE_VAL;
      const auto consider = [&](std::vector<RouteChoice> rest) {
        const double left = weight_of(shown_by(rest));
        if (left < enough - 1e-9) return;
        const double each =
            (weight - left) / std::max(1e-3, seconds - seconds_of(harness_, options_, surveys_, rest));
        if (each >= least) return;
        least = each;
        best = std::move(rest);
      };
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
    if (first.depth == 0) prove_cable(first);
  }

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
    const int plugs = plugs_among(harness_, step.a, step.b);
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

  void explain(bool why) {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (covered_.has(f)) continue;
      if (outlook_.shown.has(f)) {
        plan_.unseen.push_back({f, "left out to be quick", "the usual plan shows it"});
        continue;
      }
      if (!why) {
        plan_.unseen.push_back({f, "", ""});
        continue;
      }
      const UnseenReason reason = why_unseen(harness_, plan_.faults, f, options_, surveys_);
      plan_.unseen.push_back({f, reason.why, reason.would});
    }
  }

  // Of what the plan is made from and what it asks: the same steps, the same id.
  std::string identity(const std::string& harness_id) const {
    Fingerprint whole;
    const auto add = [&](std::string_view text) {
      whole.add(text);
      whole.add_byte(0x1f);
    };
    add(harness_id);
    add(options_.stage ? harness_.stages()[*options_.stage].name : "");
    add(depth_name(options_.depth));
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
    const std::uint64_t hash = whole.value();
    return fmt::format("{:06x}", (hash ^ hash >> 24 ^ hash >> 48) & 0xffffff);
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

std::string_view depth_name(Depth depth) { return depth == Depth::Outside ? "outside" : "full"; }

std::string_view aim_name(Aim aim) {
  static constexpr std::string_view kNames[] = {"usual", "thorough", "quick"};
  return kNames[static_cast<int>(aim)];
}

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options,
              const Reached& reached) {
  PlanOptions made = as_made(harness, options);
  Outlook outlook = look_out(harness, made, reached);
  // Of a usual and a quick plan, which begin alike: the quick one leaves out what it can do without.
  std::optional<Way> whole;
  if (options.aim == Aim::Quick)
    whole = WayFinder(harness, made, outlook, false, reached).find(outlook.shown);
  Plan plan = Planner(harness, made, outlook, reached, whole ? &*whole : nullptr).make(harness_id);
  plan.options.depth = options.depth;  // as asked
  if (options.walk) plan.walk = walk_ground(harness, options.stage, options.meter, options.temperature);
  if (options.aim == Aim::Usual) return plan;
  // One look at all that a thorough plan asks of serves the others too.
  made.aim = Aim::Thorough;
  const Outlook all = options.aim == Aim::Thorough ? std::move(outlook) : look_out(harness, made, reached);
  made.aim = Aim::Usual;
  const Outlook usual = options.aim == Aim::Thorough ? usual_part(harness, made, all) : std::move(outlook);
  if (!whole) whole = WayFinder(harness, made, usual, false, reached).find(usual.shown);
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
