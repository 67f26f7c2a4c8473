#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <unordered_set>

#include "plan/inside/caution.h"
#include "plan/inside/motion.h"
#include "plan/inside/note.h"
#include "plan/inside/smallest.h"
#include "plan/inside/survey.h"
#include "plan/inside/unseen.h"

namespace lugwise {
namespace {

// A step chosen, before it is worded.
struct Choice {
  const Survey* survey = nullptr;
  std::size_t candidate = 0;

  const Candidate& probe() const { return survey->candidates[candidate]; }
  const Setting& setting() const { return survey->settings[probe().setting]; }
  const std::uint64_t* set() const { return survey->set(candidate); }
};

// Where the technician's hands are.
struct Hands {
  Setting setting;
  std::optional<PointId> a, b;
};

class Planner {
 public:
  Planner(const Harness& harness, const PlanOptions& options) : harness_(harness), options_(options) {}

  Plan make(const std::string& harness_id) {
    plan_.options = options_;
    list_faults();
    covered_ = FaultSet(plan_.faults.size());
    proved_ = covered_;
    hands_.setting = Setting(harness_);

    const std::vector<Setting> settings = settings_to_try(harness_, options_.stage);
    std::vector<Survey> surveys;
    const std::vector<Access> depths = accesses(harness_, options_.stage);
    surveys.reserve(depths.size());
    for (const Access& access : depths) {
      if (options_.depth == Depth::Outside && access.depth > 0) break;
      surveys.push_back(survey(harness_, plan_.faults, options_, settings, access));
      const std::vector<Choice> chosen = prune(cover(surveys.back()));
      choices_.push_back(arrange(chosen));
      for (const Choice& choice : chosen) mark(covered_, choice);
    }
    bound(surveys);
    prepare();
    for (const auto& group : choices_) word(group);
    for (std::size_t fault : add_motion(harness_, plan_)) covered_.add(fault);
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
    for (Fault& fault : faults_at(harness_, options_.stage)) {
      if (fault.mode == Mode::Open || fault.mode == Mode::Short || is_worn_track(fault))
        plan_.faults.push_back(std::move(fault));
    }
  }

  static void mark(FaultSet& set, const Choice& choice) {
    for (std::size_t w = 0; w < set.words().size(); ++w) set.words()[w] |= choice.set()[w];
  }

  double handling(const Hands& from, const Setting& setting, PointId a, PointId b) const {
    const Costs& cost = options_.costs;
    double seconds = cost.read + cost.turn_control * turns_between(harness_, from.setting, setting);
    const auto held = [&](PointId point) { return from.a == point || from.b == point; };
    seconds += cost.move_probe * ((held(a) ? 0 : 1) + (held(b) ? 0 : 1));
    return seconds;
  }

  // Takes, again and again, the probe that shows the most unproved faults for its handling.
  std::vector<Choice> cover(const Survey& survey) const {
    std::vector<Choice> chosen;
    FaultSet known = covered_;
    Hands hands = hands_;
    std::vector<double> turning(survey.settings.size());
    // What was fresh when last counted can only have become less: enough to pass a candidate over.
    struct Open {
      std::size_t candidate;
      std::size_t fresh;
    };
    std::vector<Open> open;
    for (std::size_t c = 0; c < survey.candidates.size(); ++c)
      open.push_back({c, count_fresh(survey.set(c), known)});
    for (;;) {
      std::erase_if(open, [](const Open& each) { return each.fresh == 0; });
      for (std::size_t s = 0; s < turning.size(); ++s) {
        turning[s] = options_.costs.turn_control * turns_between(harness_, hands.setting, survey.settings[s]);
      }
      double best = 0;
      std::size_t best_candidate = 0;
      for (Open& each : open) {
        const Candidate& probe = survey.candidates[each.candidate];
        const auto held = [&](PointId point) { return hands.a == point || hands.b == point; };
        const double moves = (held(probe.a) ? 0 : 1) + (held(probe.b) ? 0 : 1);
        const double seconds =
            options_.costs.read + turning[probe.setting] + options_.costs.move_probe * moves;
        const double least = best * (1 + 1e-12);
        if (static_cast<double>(each.fresh) / seconds <= least) continue;
        each.fresh = count_fresh(survey.set(each.candidate), known);
        const double gain = static_cast<double>(each.fresh) / seconds;
        if (gain > least) {
          best = gain;
          best_candidate = each.candidate;
        }
      }
      if (best == 0) return chosen;
      chosen.push_back({&survey, best_candidate});
      mark(known, chosen.back());
      hands = {chosen.back().setting(), chosen.back().probe().a, chosen.back().probe().b};
    }
  }

  // Drops the steps that the others make unnecessary, the least useful first.
  std::vector<Choice> prune(std::vector<Choice> chosen) const {
    for (std::size_t drop = chosen.size(); drop-- > 0;) {
      FaultSet others = covered_;
      for (std::size_t i = 0; i < chosen.size(); ++i) {
        if (i != drop) mark(others, chosen[i]);
      }
      if (count_fresh(chosen[drop].set(), others) == 0)
        chosen.erase(chosen.begin() + static_cast<std::ptrdiff_t>(drop));
    }
    return chosen;
  }

  // The order with the least handling: nearest step next, then pairs of stretches turned round while that helps.
  std::vector<Choice> arrange(std::vector<Choice> chosen) {
    std::vector<Choice> order;
    Hands hands = hands_;
    while (!chosen.empty()) {
      std::size_t next = 0;
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t i = 0; i < chosen.size(); ++i) {
        const Candidate& probe = chosen[i].probe();
        const double seconds = handling(hands, chosen[i].setting(), probe.a, probe.b);
        if (seconds < least) {
          least = seconds;
          next = i;
        }
      }
      order.push_back(chosen[next]);
      hands = {chosen[next].setting(), chosen[next].probe().a, chosen[next].probe().b};
      chosen.erase(chosen.begin() + static_cast<std::ptrdiff_t>(next));
    }
    double now = duration(order);
    for (bool better = true; better;) {
      better = false;
      for (std::size_t i = 0; i < order.size(); ++i) {
        for (std::size_t j = i + 1; j < order.size(); ++j) {
          std::reverse(order.begin() + static_cast<std::ptrdiff_t>(i),
                       order.begin() + static_cast<std::ptrdiff_t>(j) + 1);
          const double then = duration(order);
          if (then < now - 1e-9) {
            now = then;
            better = true;
          } else {
            std::reverse(order.begin() + static_cast<std::ptrdiff_t>(i),
                         order.begin() + static_cast<std::ptrdiff_t>(j) + 1);
          }
        }
      }
    }
    for (const Choice& choice : order) hands_ = {choice.setting(), choice.probe().a, choice.probe().b};
    return order;
  }

  double duration(const std::vector<Choice>& order) const {
    Hands hands = hands_;
    double seconds = 0;
    for (const Choice& choice : order) {
      seconds += handling(hands, choice.setting(), choice.probe().a, choice.probe().b);
      hands = {choice.setting(), choice.probe().a, choice.probe().b};
    }
    return seconds;
  }

  // Faults of which no probe shows two need a step each; and what only the opened instrument shows makes it be opened.
  void bound(const std::vector<Survey>& surveys) {
    const std::size_t faults = plan_.faults.size();
    std::vector<FaultSet> together(faults, FaultSet(faults));
    FaultSet outside(faults);
    for (const Survey& survey : surveys) {
      // Many pairs lie on the same two nets and show the same.
      const auto hash = [&](const std::uint64_t* set) {
        std::uint64_t mixed = 0;
        for (std::size_t w = 0; w < survey.words; ++w)
          mixed = (mixed ^ set[w]) * 0x9e3779b97f4a7c15 ^ mixed >> 32;
        return static_cast<std::size_t>(mixed ^ mixed >> 32);
      };
      const auto same = [&](const std::uint64_t* x, const std::uint64_t* y) {
        return std::equal(x, x + survey.words, y);
      };
      std::unordered_set<const std::uint64_t*, decltype(hash), decltype(same)> known(1024, hash, same);
      for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
        const std::uint64_t* set = survey.set(c);
        if (!known.insert(set).second) continue;
        for (std::size_t w = 0; w < survey.words; ++w) {
          if (survey.access.depth == 0) outside.words()[w] |= set[w];
          for (std::uint64_t word = set[w]; word != 0; word &= word - 1) {
            const std::size_t f = w * 64 + static_cast<std::size_t>(__builtin_ctzll(word));
            for (std::size_t v = 0; v < survey.words; ++v) together[f].words()[v] |= set[v];
          }
        }
      }
    }
    std::vector<std::size_t> order = covered_.list();
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t x, std::size_t y) { return together[x].size() < together[y].size(); });
    FaultSet taken(faults);
    for (std::size_t f : order) {
      if (taken.has(f)) continue;
      // Nothing that shows f may show one taken before: `taken` holds all that was shown together with those.
      ++plan_.least_steps;
      taken |= together[f];
    }
    const bool opened =
        std::any_of(order.begin(), order.end(), [&](std::size_t f) { return !outside.has(f); });
    plan_.least_seconds = plan_.least_steps * options_.costs.read + (opened ? options_.costs.open_cavity : 0);
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

  void word(const std::vector<Choice>& group) {
    for (const Choice& choice : group) {
      Step step;
      step.number = static_cast<int>(plan_.steps.size()) + 1;
      step.access = choice.survey->access;
      step.setting = choice.setting();
      step.a = choice.probe().a;
      step.b = choice.probe().b;
      if (worded_ && step.access == last_access_) {
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
      const int plugs =
          (harness_[step.a].role == PointRole::Plug) + (harness_[step.b].role == PointRole::Plug);
      step.range = step.expected.open ? options_.meter.ranges.back()
                                      : range_for(options_.meter, step.expected.ohms.high, plugs);
      step.shows = window(options_.meter, step.range, step.expected.ohms, plugs);
      FaultSet shown(plan_.faults.size());
      mark(shown, choice);
      step.proves = shown.list();
      shown -= proved_;
      step.fresh = shown.list();
      mark(proved_, choice);
      plan_.seconds += step_seconds(step);
      last_access_ = step.access;
      last_a_ = step.a;
      last_b_ = step.b;
      last_setting_ = step.setting;
      last_range_ = step.range.top;
      worded_ = true;
      plan_.steps.push_back(std::move(step));
    }
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
  Hands hands_;
  std::vector<std::vector<Choice>> choices_;
  bool worded_ = false;
  Access last_access_;
  PointId last_a_, last_b_;
  Setting last_setting_;
  Ohms last_range_ = 0;
};

}  // namespace

Plan plan_for(const Harness& harness, const std::string& harness_id, const PlanOptions& options) {
  PlanOptions here = options;
  if (on_bench(harness, options.stage)) {
    here.depth = Depth::Full;
    here.costs.open_cavity = 0;
  }
  return Planner(harness, here).make(harness_id);
}

}  // namespace lugwise
