#include "record/inside/observer.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "circuit/capacitance.h"
#include "handling/capacity.h"
#include "intake/judge.h"
#include "record/presence.h"

namespace lugwise::record::inside {
namespace {

class Observer {
 public:
  Observer(const Harness& harness, const Meter& meter, const Plan* plan, std::optional<std::size_t> stage,
           Diagnostics& diagnostics)
      : harness_(harness), meter_(meter), plan_(plan), stage_(stage), diagnostics_(diagnostics) {}

  std::vector<std::optional<Observation>> observe(const std::vector<Entry>& entries) {
    std::vector<std::optional<Observation>> observations;
    for (const Entry& entry : entries) {
      const bool placed = entry.kind == EntryKind::Reading || entry.kind == EntryKind::Skipped;
      observations.push_back(placed ? observe(entry) : std::nullopt);
      if (observations.back()) check_present(entry, *observations.back());
    }
    if (diagnostics_.failed()) return observations;
    const auto weighed =
        std::count_if(entries.begin(), entries.end(), [](const Entry& entry) { return entry.weighed(); });
    const std::string why = too_many_to_weigh(static_cast<std::size_t>(weighed));
    if (!why.empty()) diagnostics_.error("U323", {}, "too long a record: " + why);
    return observations;
  }

 private:
  // What the entry says by itself.
  static Observation written(const Entry& entry) {
    Observation seen;
    seen.action = entry.action;
    seen.step = entry.step;
    seen.lifted = entry.lifted;
    seen.swept = entry.swept;
    seen.ends = entry.ends;
    seen.wiggled = entry.wiggled;
    seen.shows = entry.shows;
    seen.value = entry.value;
    seen.resolution = entry.resolution;
    seen.text = entry.text;
    seen.setting = entry.setting;
    if (entry.placed) {
      seen.a = entry.a;
      seen.b = entry.b;
    }
    return seen;
  }

  std::optional<Observation> observe(const Entry& entry) {
    Observation seen = written(entry);
    bool farads = entry.farads;
    if (entry.step) {
      const Step* step = find_step(entry);
      if (!step || step->tips_together) return std::nullopt;
      if (!take_step(entry, *step, seen, farads)) return std::nullopt;
    } else {
      std::vector<PointId> touched{seen.a, seen.b};
      touched.insert(touched.end(), entry.wiggled.begin(), entry.wiggled.end());
      seen.access = access_for(harness_, touched, entry.lifted, stage_);
    }
    for (const Access& access : accesses(harness_, stage_)) {
      if (access.name == entry.cover) seen.access = access;
    }
    if (farads) seen.capacitor = capacitor_between(harness_, seen.a, seen.b);
    if (entry.range) {
      const Range* range = farads ? meter_.find_capacitance(*entry.range) : meter_.find_range(*entry.range);
      if (range) {
        seen.range = *range;
      } else if (entry.aside) {
        seen.range = Range{*entry.range, 0, 0};  // of another meter only its name is known
      }
    }
    if (entry.step && !entry.range && entry.weighed()) {
      check_reading(entry, entry.text, seen.range, TypedAs::Reading);
      for (const Display& end : entry.ends) {
        if (!end.range) check_reading(entry, end.text, seen.range, TypedAs::SweepEnd);
      }
    }
    return seen;
  }

  // Fills in what the entry leaves to its step; false: the two don't go together.
  bool take_step(const Entry& entry, const Step& step, Observation& seen, bool& farads) {
    if (!entry.placed) {
      seen.a = step.a;
      seen.b = step.b;
    }
    if (!entry.set_given) seen.setting = step.setting;
    if (entry.lifted.empty() && !entry.placed) seen.lifted = step.lifted;
    seen.access = step.access;
    if (!take_action(entry, step, seen)) return false;
    if (step.capacitance && !entry.placed && entry.shows == Shows::OverRange) farads = true;
    if (entry.kind == EntryKind::Reading && !entry.placed && farads != step.capacitance.has_value()) {
      wrong(entry, fmt::format("step {} reads {}, not '{}'", step.number,
                               farads ? "ohms" : "farads, as '47.2n'", entry.text));
      return false;
    }
    // A meter that picks its range may have picked another one.
    if (!meter_.automatic && farads == step.capacitance.has_value()) seen.range = step.range;
    return true;
  }

  // What was done at a step is what the step says, unless a plain value stands there: that is the reading at its start.
  bool take_action(const Entry& entry, const Step& step, Observation& seen) {
    const bool of_sweep = entry.shows == Shows::Smooth || entry.shows == Shows::Jumps;
    const bool of_wiggle = entry.shows == Shows::Steady || entry.shows == Shows::Unstable;
    std::string problem;
    if (entry.action != Action::Read) {
      // The entry says by itself what was done.
    } else if (step.kind == StepKind::Sweep) {
      if (of_wiggle) problem = fmt::format("sweeps {}: it reads smooth or jumps", harness_[*step.swept].name);
      if (of_sweep) {
        seen.action = Action::Sweep;
        seen.swept = step.swept;
      }
    } else if (step.kind == StepKind::Wiggle) {
      if (of_sweep) problem = "wiggles: it reads steady or unstable";
      if (of_wiggle) {
        seen.action = Action::Wiggle;
        seen.wiggled = step.wiggled;
      }
    } else if (of_sweep || entry.shows == Shows::Steady) {
      problem = "is a plain reading: it reads a value, OL, beep, no beep or unstable";
    }
    if (!problem.empty()) {
      problem += fmt::format(", not '{}'", entry.text);
    } else if (!entry.ends.empty() && seen.action != Action::Sweep) {
      problem = step.kind == StepKind::Sweep ? "has 'ends', so it reads smooth or jumps"
                                             : "has no 'ends': it is no sweep";
    } else if (!entry.ends.empty() && seen.setting.knob(*seen.swept) != 0 &&
               seen.setting.knob(*seen.swept) != 10) {
      problem = fmt::format("sweeps {}, which is set to no stop", harness_[*seen.swept].name);
    }
    if (problem.empty()) return true;
    wrong(entry, fmt::format("step {} {}", step.number, problem));
    return false;
  }

  void wrong(const Entry& entry, std::string message) {
    diagnostics_.error("U305", entry.at, std::move(message));
  }

  // The range of a step only the plan knows, so its reading has not been judged before.
  void check_reading(const Entry& entry, const std::string& text, const std::optional<Range>& range,
                     TypedAs as) {
    Asked asked;
    asked.action.reset();  // judged by the step
    asked.farads.reset();
    if (range) asked.range = range->top;
    const JudgedReading judged = judge(text, asked, meter_);
    if (!judged.wrong || !judged.wrong->on_range) return;
    const bool above = judged.wrong->kind == Misread::Kind::AboveRange;
    Diagnostic& error = diagnostics_.error(above ? "R303" : "R302", entry.at, judged.wrong->problem);
    const std::string hint = judged.wrong->in_file(text, as);
    if (!hint.empty()) error.note(hint);
  }

  const Step* find_step(const Entry& entry) {
    for (const Step& step : plan_->steps) {
      if (step.number != *entry.step) continue;
      const bool takes_value = step.tips_together && entry.shows == Shows::Value;
      const bool reads =
          step.kind != StepKind::Prepare && step.kind != StepKind::Lift && step.kind != StepKind::Refit;
      if (reads || takes_value) return &step;
      diagnostics_.error("U303", entry.at,
                         fmt::format("step {} of plan {} takes no reading", step.number, plan_->id));
      return nullptr;
    }
    diagnostics_.error("U303", entry.at,
                       fmt::format("plan {} has no step {}; its last is {}", plan_->id, *entry.step,
                                   plan_->steps.empty() ? 0 : plan_->steps.back().number));
    return nullptr;
  }

  void check_present(const Entry& entry, const Observation& seen) {
    State state;
    state.setting = seen.setting;
    state.stage = stage_;
    const Circuit circuit = circuit_of(harness_, state);
    for (PointId point : {seen.a, seen.b}) {
      const std::string why = why_absent(harness_, circuit, stage_, point);
      if (!why.empty()) diagnostics_.error("U304", entry.at, why);
    }
  }

  const Harness& harness_;
  const Meter& meter_;
  const Plan* plan_;
  std::optional<std::size_t> stage_;
  Diagnostics& diagnostics_;
};

}  // namespace

void take_leads(const Sheet& sheet, const Plan* plan, Meter& meter) {
  const auto take = [&](Ohms ohms) {
    const Ohms digit = meter.step(meter.ranges.front());
    meter.leads_low = std::max(0.0, ohms - digit);
    meter.leads_high = ohms + digit;
  };
  for (const Entry& entry : sheet.entries) {
    if (entry.kind == EntryKind::Tips && !entry.aside) take(entry.value);
    if (!plan || !entry.weighed() || !entry.step || entry.farads || entry.shows != Shows::Value) continue;
    for (const Step& step : plan->steps) {
      if (step.tips_together && step.number == *entry.step) take(entry.value);
    }
  }
}

std::vector<std::optional<Observation>> observe(const Harness& harness, const Meter& meter, const Plan* plan,
                                                const std::vector<Entry>& entries,
                                                std::optional<std::size_t> stage, Diagnostics& diagnostics) {
  return Observer(harness, meter, plan, stage, diagnostics).observe(entries);
}

}  // namespace lugwise::record::inside
