#include "plan/inside/lift.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/inside/openings.h"
#include "plan/inside/pace.h"

namespace lugwise {
namespace {

// With a lead off, so many settings are looked at: those with the fewest turns.
constexpr std::size_t kMostSettings = 10;

// And so many leads at most.
constexpr std::size_t kMostLeads = 200;

// A lead that can come off, the blob it is in, and what each pair then shows.
struct Lifted {
  PointId lead;
  const Blob* blob;
  ElementId joint;
  Survey survey;
};

class Lifter {
 public:
  Lifter(const Harness& harness, const std::vector<Survey>& surveys, const FaultSet& covered, Plan& plan)
      : harness_(harness), surveys_(surveys), options_(plan.options), plan_(plan) {
    missing_ = FaultSet(plan.faults.size());
    for (std::size_t f = 0; f < plan.faults.size(); ++f) {
      // A capacitor is not seen by ohms, and a sweep is not made with a lead off.
      const Fault& fault = plan.faults[f];
      const bool ohms =
          !is_worn_track(fault) && !(fault.site == Site::Capacitor && fault.mode != Mode::Short);
      if (ohms && !covered.has(f)) missing_.add(f);
    }
  }

  std::vector<std::size_t> lift() {
    if (missing_.empty() || plan_.steps.empty()) return {};
    access_ = openings(harness_, options_).back();
    if (access_.depth == 0) return {};
    look();
    std::vector<std::size_t> shown;
    for (;;) {
      const Lifted* best = nullptr;
      double most = 0;
      for (const Lifted& one : lifts_) {
        FaultSet all(plan_.faults.size());
        for (std::size_t c = 0; c < one.survey.candidates.size(); ++c) all |= one.survey.set(c);
        all &= missing_;
        double weight = 0;
        for (std::size_t f : all.list()) weight += plan_.faults[f].weight;
        if (weight <= most + 1e-12) continue;
        most = weight;
        best = &one;
      }
      if (!best) return shown;
      const std::vector<std::size_t> more = take(*best);
      shown.insert(shown.end(), more.begin(), more.end());
      for (std::size_t f : more) missing_.drop(f);
    }
  }

 private:
  // Every lead that an iron gets at, with the readings it makes possible.
  void look() {
    std::vector<Setting> settings = settings_to_try(harness_, options_.stage);
    const Setting now = left_at(plan_.steps.back());
    std::stable_sort(settings.begin(), settings.end(), [&](const Setting& x, const Setting& y) {
      return turns_between(harness_, now, x) < turns_between(harness_, now, y);
    });
    if (settings.size() > kMostSettings) settings.resize(kMostSettings);
    const std::vector<PointId> within = reachable(harness_, options_.stage, access_.depth);
    const auto in_reach = [&](PointId point) {
      return std::binary_search(within.begin(), within.end(), point);
    };
    // Only what is missing is asked of these.
    std::vector<Fault> asked;
    std::vector<Ohms> sizes;
    std::vector<std::size_t> number;
    for (std::size_t f : missing_.list()) {
      asked.push_back(plan_.faults[f]);
      sizes.push_back(asked.back().mode == Mode::High ? kModest : plan_.sizes[f]);
      number.push_back(f);
    }
    for (const Blob& blob : harness_.blobs()) {
      if (blob.inside || !in_reach(blob.surface)) continue;
      for (std::size_t i = 0; i < blob.leads.size(); ++i) {
        if (!in_reach(blob.leads[i]) || lifts_.size() == kMostLeads) continue;
        Lifted one{blob.leads[i], &blob, blob.joints[i], {}};
        const Survey found = survey(harness_, asked, sizes, options_, settings, access_, {one.lead});
        one.survey.access = access_;
        one.survey.settings = settings;
        one.survey.words = missing_.words().size();
        for (std::size_t c = 0; c < found.candidates.size(); ++c) {
          FaultSet few(asked.size());
          few |= found.set(c);
          FaultSet set(plan_.faults.size());
          for (std::size_t f : few.list()) set.add(number[f]);
          one.survey.candidates.push_back(found.candidates[c]);
          one.survey.sets.insert(one.survey.sets.end(), set.words().begin(), set.words().end());
        }
        if (!one.survey.candidates.empty()) lifts_.push_back(std::move(one));
      }
    }
  }

  std::vector<std::size_t> take(const Lifted& one) {
    const std::string lead = harness_[one.lead].name;
    const std::string surface = harness_[one.blob->surface].name;
    append(iron(StepKind::Lift, one.lead,
                fmt::format("Unsolder {} from {} and hold it clear of everything.", lead, surface)));
    std::vector<std::size_t> shown;
    FaultSet rest = missing_;
    for (;;) {
      // The reading that shows the most of the rest, with the least handling.
      std::optional<std::size_t> best;
      std::size_t most = 0;
      double least = 0;
      for (std::size_t c = 0; c < one.survey.candidates.size(); ++c) {
        FaultSet fresh(plan_.faults.size());
        fresh |= one.survey.set(c);
        fresh &= rest;
        const std::size_t count = fresh.size();
        if (count == 0 || count < most) continue;
        const double seconds =
            seconds_between(harness_, options_.costs, &plan_.steps.back(), bare(one.survey, c));
        if (count == most && seconds >= least) continue;
        most = count;
        least = seconds;
        best = c;
      }
      if (!best) break;
      FaultSet fresh(plan_.faults.size());
      fresh |= one.survey.set(*best);
      fresh &= rest;
      Step step = read(one.survey, *best, {one.lead});
      step.proves = step.fresh = fresh.list();
      shown.insert(shown.end(), step.fresh.begin(), step.fresh.end());
      rest -= fresh;
      append(std::move(step));
    }
    append(iron(StepKind::Refit, one.lead,
                fmt::format("Solder {} back on {}, let it cool, and tug it.", lead, surface)));
    prove(one);
    return shown;
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
      Step step = read(*where, best, {});
      step.access = access_;
      step.proves = {f};
      step.notes.push_back("For the joint that was off.");
      append(std::move(step));
    }
  }

  Step iron(StepKind kind, PointId lead, std::string instruction) const {
    Step step;
    step.kind = kind;
    step.instruction = std::move(instruction);
    step.access = access_;
    step.setting = left_at(plan_.steps.back());
    step.range = plan_.steps.back().range;
    step.lifted = {lead};
    return step;
  }

  Step bare(const Survey& survey, std::size_t candidate) const {
    const Candidate& probe = survey.candidates[candidate];
    Step step;
    step.access = access_;
    step.setting = survey.settings[probe.setting];
    step.a = probe.a;
    step.b = probe.b;
    step.range = options_.meter.ranges[probe.range];
    return step;
  }

  Step read(const Survey& survey, std::size_t candidate, std::vector<PointId> lifted) const {
    Step step = bare(survey, candidate);
    step.lifted = std::move(lifted);
    const State state{step.setting, options_.stage, true, step.lifted, options_.temperature};
    step.expected = expect(circuit_of(harness_, state), step.a, step.b);
    const int plugs = (harness_[step.a].role == PointRole::Plug) + (harness_[step.b].role == PointRole::Plug);
    step.range = step.expected.open ? options_.meter.ranges.back()
                                    : range_for(options_.meter, step.expected.ohms.high, plugs);
    step.shows = window(options_.meter, step.range, step.expected.ohms, plugs);
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
  std::vector<Lifted> lifts_;
};

}  // namespace

std::vector<std::size_t> add_lifts(const Harness& harness, const std::vector<Survey>& surveys,
                                   const FaultSet& covered, Plan& plan) {
  return Lifter(harness, surveys, covered, plan).lift();
}

}  // namespace lugwise
