#include "plan/inside/lift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "circuit/capacitance.h"
#include "handling/handling.h"
#include "plan/inside/cover.h"
#include "plan/inside/openings.h"
#include "plan/inside/pace.h"
#include "plan/inside/reading.h"
#include "plan/inside/sweeps.h"

namespace lugwise::plan::inside {
namespace {

// With a lead off, so many settings are looked at: those with the fewest turns.
constexpr std::size_t kMostSettings = 10;

// And so many leads at most.
constexpr std::size_t kMostLeads = 200;

// A lead that can come off, the blob it is in, and what is then shown by which reading, sweep or capacitance.
struct Lifted {
  PointId lead;
  const Blob* blob;
  ElementId joint;
  Survey survey;
  FaultSet shows;  // all of that together
};

class Lifter {
 public:
  Lifter(const Harness& harness, const std::vector<Survey>& surveys, const FaultSet& covered, Plan& plan)
      : harness_(harness), surveys_(surveys), options_(plan.options), plan_(plan) {
    missing_ = FaultSet(plan.faults.size());
    for (std::size_t f = 0; f < plan.faults.size(); ++f) {
      if (!covered.has(f)) missing_.add(f);
    }
  }

  std::vector<std::size_t> lift() {
    if (missing_.empty() || plan_.steps.empty()) return {};
    access_ = openings(harness_, options_).back();
    if (access_.depth == 0) return {};
    look();
    std::vector<std::size_t> leads = fewest();
    FaultSet shown(plan_.faults.size());
    while (!leads.empty()) {
      const auto next = likeliest(leads);
      const std::size_t lead = quickest_for(leads, *next);
      leads.erase(next);
      for (const Step& step : steps_of(lifts_[lead])) {
        const std::optional<Step> whole = complete(step);
        if (!whole) continue;
        for (std::size_t f : whole->fresh) shown.add(f);
        append(*whole);
      }
      missing_ -= lifts_[lead].shows;
      prove(lifts_[lead]);
    }
    for (std::size_t f : shown.list()) {
      if (plan_.faults[f].mode == Mode::High && !is_worn_track(plan_.faults[f])) plan_.sizes[f] = kModest;
    }
    return shown.list();
  }

 private:
  // Every lead that an iron gets at, with what it makes possible.
  void look() {
    std::vector<Setting> settings = settings_to_try(harness_, options_.stage);
    const Setting now = left_at(plan_.steps.back());
    std::stable_sort(settings.begin(), settings.end(), [&](const Setting& x, const Setting& y) {
      return turns_between(harness_, now, x) < turns_between(harness_, now, y);
    });
    if (settings.size() > kMostSettings) settings.resize(kMostSettings);
    within_ = reachable(harness_, options_.stage, access_.depth);
    // Only what is missing is asked of these; of a capacitor's open no ohms are.
    std::vector<Fault> asked;
    std::vector<Ohms> sizes;
    std::vector<std::size_t> number;
    for (std::size_t f : missing_.list()) {
      const Fault& fault = plan_.faults[f];
      if (fault.site == Site::Capacitor && fault.mode != Mode::Short) continue;
      asked.push_back(fault);
      sizes.push_back(fault.mode == Mode::High ? kModest : plan_.sizes[f]);
      number.push_back(f);
    }
    for (const Blob& blob : harness_.blobs()) {
      if (blob.inside || !in_reach(blob.surface)) continue;
      for (std::size_t i = 0; i < blob.leads.size(); ++i) {
        if (!in_reach(blob.leads[i]) || lifts_.size() == kMostLeads) continue;
        Lifted one{blob.leads[i], &blob, blob.joints[i], Survey(plan_.faults.size()),
                   FaultSet(plan_.faults.size())};
        Survey found = survey(harness_, asked, sizes, options_, settings, access_, {one.lead});
        add_sweeps(harness_, asked, options_, found);
        one.survey.access = access_;
        one.survey.lifted = {one.lead};
        one.survey.settings = settings;
        for (std::size_t c = 0; c < found.candidates.size(); ++c) {
          FaultSet few(asked.size());
          few |= found.set(c);
          FaultSet set(plan_.faults.size());
          for (std::size_t f : few.list()) set.add(number[f]);
          add(one, found.candidates[c], set);
        }
        add_capacitances(one);
        if (!one.survey.candidates.empty()) lifts_.push_back(std::move(one));
      }
    }
  }

  bool in_reach(PointId point) const { return std::binary_search(within_.begin(), within_.end(), point); }

  static void add(Lifted& one, const Candidate& candidate, const FaultSet& set) {
    one.survey.add(candidate, set);
    one.shows |= set;
  }

  // The missing capacitors that stand alone with the lead off. They come last, and have a range past those of ohms.
  void add_capacitances(Lifted& one) const {
    for (std::size_t f : missing_.list()) {
      const Fault& fault = plan_.faults[f];
      if (fault.site != Site::Capacitor || fault.mode != Mode::Open || options_.meter.capacitance.empty())
        continue;
      const Element& element = harness_[*fault.element];
      if (!in_reach(element.a) || !in_reach(element.b)) continue;
      if (!tells_open(options_.meter,
                      capacitance_reading(options_.meter, farads_of(harness_, *fault.element))))
        continue;
      for (std::uint32_t s = 0; s < one.survey.settings.size(); ++s) {
        const State state{one.survey.settings[s], options_.stage, true, {one.lead}, options_.temperature};
        if (!measured_alone(harness_, circuit_of(harness_, state), *fault.element)) continue;
        FaultSet set(plan_.faults.size());
        set.add(f);
        add(one, {s, s, farads_range(), element.a, element.b, std::nullopt}, set);
        break;
      }
    }
  }

  std::uint32_t farads_range() const { return static_cast<std::uint32_t>(options_.meter.ranges.size()); }

  // The fewest leads that show between them all that any would: no other step takes as long as one off and on.
  std::vector<std::size_t> fewest() const {
    std::vector<FaultSet> sets;
    FaultSet all(plan_.faults.size());
    for (const Lifted& one : lifts_) {
      sets.push_back(one.shows);
      all |= one.shows;
    }
    return smallest_cover(sets, all).sets;
  }

  double weight_of(const FaultSet& faults) const {
    double sum = 0;
    for (std::size_t f : faults.list()) sum += plan_.faults[f].weight;
    return sum;
  }

  // Of these leads the one that shows the most of what is missing, by how common it is, for its seconds.
  std::vector<std::size_t>::iterator likeliest(std::vector<std::size_t>& leads) const {
    const auto worth = [&](std::size_t lead) {
      FaultSet fresh = lifts_[lead].shows;
      fresh &= missing_;
      return weight_of(fresh) / std::max(1.0, seconds_of(steps_of(lifts_[lead])));
    };
    auto best = leads.begin();
    double most = worth(*best);
    for (auto lead = leads.begin() + 1; lead != leads.end(); ++lead) {
      const double here = worth(*lead);
      if (here <= most * (1 + 1e-9)) continue;
      most = here;
      best = lead;
    }
    return best;
  }

  // Another lead may show what only this one of them does, and take fewer seconds.
  std::size_t quickest_for(const std::vector<std::size_t>& leads, std::size_t lead) const {
    FaultSet needed = lifts_[lead].shows;
    needed &= missing_;
    for (std::size_t other : leads) {
      if (other != lead) needed -= lifts_[other].shows;
    }
    std::size_t best = lead;
    double least = seconds_of(steps_of(lifts_[lead]));
    for (std::size_t other = 0; other < lifts_.size(); ++other) {
      if (other == lead || !lifts_[other].shows.contains(needed)) continue;
      const double seconds = seconds_of(steps_of(lifts_[other]));
      if (seconds >= least - 1e-9) continue;
      least = seconds;
      best = other;
    }
    return best;
  }

  double seconds_of(const std::vector<Step>& steps) const {
    double sum = 0;
    const Step* before = &plan_.steps.back();
    for (const Step& step : steps) {
      sum += seconds_between(harness_, options_.costs, before, step);
      before = &step;
    }
    return sum;
  }

  // The lead off, what then shows the missing faults with the least handling, and the lead back on; without what they read.
  std::vector<Step> steps_of(const Lifted& one) const {
    const std::string lead = harness_[one.lead].name;
    const std::string surface = harness_[one.blob->surface].name;
    std::vector<Step> steps{
        iron(StepKind::Lift, one.lead, plan_.steps.back(),
             fmt::format("Unsolder {} from {} and hold it clear of everything.", lead, surface))};
    FaultSet rest = missing_;
    rest &= one.shows;
    while (!rest.empty()) {
      // What shows the most of the rest.
      std::optional<Step> best;
      FaultSet best_fresh;
      std::size_t most = 1;
      double least = HUGE_VAL;
      for (std::size_t c = 0; c < one.survey.candidates.size(); ++c) {
        FaultSet fresh(one.survey.set(c), one.survey.words());
        fresh &= rest;
        const std::size_t count = fresh.size();
        if (count < most) continue;
        Step step = bare(one.survey, c);
        const double seconds = seconds_between(harness_, options_.costs, &steps.back(), step);
        if (count == most && seconds >= least) continue;
        most = count;
        least = seconds;
        best = std::move(step);
        best_fresh = fresh;
      }
      best->proves = best->fresh = best_fresh.list();
      rest -= best_fresh;
      steps.push_back(std::move(*best));
    }
    steps.push_back(iron(StepKind::Refit, one.lead, steps.back(),
                         fmt::format("Solder {} back on {}, let it cool, and tug it.", lead, surface)));
    return steps;
  }

  // The least handling that shows the joint open were it not sound again.
  void prove(const Lifted& one) {
    for (std::size_t f = 0; f < plan_.faults.size(); ++f) {
      if (plan_.faults[f].mode != Mode::Open || plan_.faults[f].element != one.joint) continue;
      const Survey* where = nullptr;
      std::size_t best = 0;
      double least = 0;
      for (const Survey& survey : surveys_) {
        if (survey.access.depth == 0) continue;  // that far it is closed
        for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
          if ((survey.set(c)[f / 64] >> (f % 64) & 1) == 0 || survey.candidates[c].swept) continue;
          const double seconds =
              seconds_between(harness_, options_.costs, &plan_.steps.back(), bare(survey, c));
          if (where && seconds >= least) continue;
          where = &survey;
          best = c;
          least = seconds;
        }
      }
      if (!where) continue;
      Step step = *complete(bare(*where, best));
      step.proves = {f};
      step.notes.push_back("For the joint that was off.");
      append(std::move(step));
    }
  }

  Step iron(StepKind kind, PointId lead, const Step& before, std::string instruction) const {
    Step step;
    step.kind = kind;
    step.instruction = std::move(instruction);
    step.access = access_;
    step.setting = left_at(before);
    step.range = before.range;
    step.lifted = {lead};
    return step;
  }

  // What the hands do, without what it reads.
  Step bare(const Survey& survey, std::size_t candidate) const {
    const Candidate& probe = survey.candidates[candidate];
    Step step;
    step.access = access_;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
    step.lifted = survey.lifted;
    if (probe.range == farads_range()) {
      step.capacitance = capacitance_reading(
          options_.meter, farads_of(harness_, *capacitor_between(harness_, probe.a, probe.b)));
      step.range = step.capacitance->range;
      return step;
    }
    step.range = options_.meter.ranges[probe.range];
    step.swept = probe.swept;
    if (probe.swept) step.kind = StepKind::Sweep;
    return step;
  }

  // And with it; none for a sweep that has no limits.
  std::optional<Step> complete(Step step) const {
    if (step.kind == StepKind::Lift || step.kind == StepKind::Refit) return step;
    if (step.swept) {
      return sweep_step(harness_, options_, plan_.faults, access_, step.setting, *step.swept, step.a, step.b,
                        step.fresh, step.lifted);
    }
    const Circuit circuit = circuit_at(harness_, options_, step);
    if (step.capacitance) {
      step.expected = expect(circuit, step.a, step.b);
    } else {
      expect_reading(harness_, options_.meter, circuit, step);
    }
    return step;
  }

  void append(Step step) {
    const Step* before = plan_.steps.empty() ? nullptr : &plan_.steps.back();
    park(before, step);
    step.number = static_cast<int>(plan_.steps.size()) + 1;
    plan_.lift_seconds += seconds_between(harness_, options_.costs, before, step);
    plan_.steps.push_back(std::move(step));
  }

  const Harness& harness_;
  const std::vector<Survey>& surveys_;
  const PlanOptions& options_;
  Plan& plan_;
  Access access_;
  FaultSet missing_;
  std::vector<PointId> within_;  // reach
  std::vector<Lifted> lifts_;
};

}  // namespace

std::vector<std::size_t> add_lifts(const Harness& harness, const std::vector<Survey>& surveys,
                                   const FaultSet& covered, Plan& plan) {
  return Lifter(harness, surveys, covered, plan).lift();
}

}  // namespace lugwise::plan::inside
