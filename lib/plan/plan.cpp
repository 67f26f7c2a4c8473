#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <unordered_set>

#include "plan/inside/bound.h"
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
    const std::vector<Access> depths = accesses(harness_);
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
    plan_.seen = covered_.size();
    explain(surveys);
    plan_.smallest = smallest_noticed(harness_, options_, plan_.steps);
    plan_.id = identity(harness_id);
    return std::move(plan_);
  }

 private:
  // Opens and shorts of what is there at this stage.
  void list_faults() {
    for (Fault& fault : faults_at(harness_, options_.stage)) {
      if (fault.mode == Mode::Open || fault.mode == Mode::Short) plan_.faults.push_back(std::move(fault));
    }
  }

  void prepare() {
    plan_.cautions = {
        "Unplug the instrument from the amplifier and everything else, at both ends of the cable, before a "
        "probe goes in. "
        "The cable's far plug is the probe point; never measure resistance in anything that is powered.",
    };
    bool battery = false;
    bool module = false;
    for (const Part& part : harness_.parts()) {
      battery = battery || part.kind == PartKind::Battery;
      module = module || part.kind == PartKind::Module;
    }
    if (battery || module) {
      plan_.cautions.push_back(
          "Take the battery out first and cover its clip: a plug in the jack switches it on. Don't measure "
          "resistance "
          "through a module's own circuit.");
    }
    if (options_.depth == Depth::Full) {
      plan_.cautions.push_back(
          "Strings under tension whip: slacken them before touching bridge, claw or springs, and wear eye "
          "protection. "
          "The soldering iron burns; its fumes need air; wash your hands after leaded solder.");
    }
    plan_.cautions.push_back(
        "If strings or a microphone give a shock, or the noise follows the house wiring or the amplifier, "
        "stop: that is "
        "mains wiring or lethal voltage inside an amplifier, and belongs to a licensed electrician or a "
        "qualified "
        "amplifier technician, under local codes. Never lift a mains earth or cut the string ground to cure "
        "a hum.");

    if (battery)
      add_preparation("Take the battery out and cover its clip; close up again what that opened.",
                      {0, "outside"});
    const Meter& meter = options_.meter;
    add_preparation(
        fmt::format(
            "Touch the tips together on the lowest range and note what the meter shows{}.",
            meter.leads_high > 0 ? fmt::format("; up to {:g} ohm is the leads", meter.leads_high) : ""),
        {0, "outside"});
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
    if (worded_) {
      const auto held = [&](PointId point) { return point == last_a_ || point == last_b_; };
      if (held(step.b) && !held(step.a)) std::swap(step.a, step.b);
      // Of two probes that stay, the one that was parked before goes on being the parked one.
      if (held(step.a) && held(step.b) && step.b == last_a_) std::swap(step.a, step.b);
      step.parked = held(step.a);
    } else if (prefers(step.b, step.a)) {
      std::swap(step.a, step.b);
    }
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
    plan_.seconds += step_seconds(step);
    last_access_ = step.access;
    last_a_ = step.a;
    last_b_ = step.b;
    last_setting_ = step.setting;
    last_range_ = step.range.top;
    worded_ = true;
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

  double step_seconds(const Step& step) const {
    const Costs& cost = options_.costs;
    double seconds = cost.read;
    const int depth_before = worded_ ? last_access_.depth : 0;
    if (step.access.depth >= 1 && depth_before < 1) seconds += cost.open_cavity;
    if (step.access.depth >= 2 && depth_before < step.access.depth) seconds += cost.open_cover;
    const Setting before = worded_ ? last_setting_ : Setting(harness_);
    seconds += cost.turn_control * turns_between(harness_, before, step.setting);
    if (worded_ && step.range.top != last_range_) seconds += cost.change_range;
    const auto held = [&](PointId point) { return worded_ && (point == last_a_ || point == last_b_); };
    seconds += cost.move_probe * ((held(step.a) ? 0 : 1) + (held(step.b) ? 0 : 1));
    return seconds;
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
      if (step.kind != StepKind::Read) {
        add(step.instruction.substr(0, 8));
        continue;
      }
      add(harness_[step.a].name);
      add(harness_[step.b].name);
      for (PartId control : harness_.controls()) add(step.setting.place_name(harness_, control));
    }
    return fmt::format("{:06x}", (hash ^ hash >> 24 ^ hash >> 48) & 0xffffff);
  }

  const Harness& harness_;
  const PlanOptions& options_;
  Plan plan_;
  FaultSet covered_;
  FaultSet proved_;
  bool worded_ = false;
  Access last_access_;
  PointId last_a_, last_b_;
  Setting last_setting_;
  Ohms last_range_ = 0;
};

}  // namespace

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options) {
  return Planner(harness, options).make(harness_id);
}

}  // namespace lugwise
