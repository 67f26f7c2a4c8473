#include "observe.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "circuit/capacitance.h"
#include "handling/capacity.h"
#include "intake/value.h"

namespace lugwise::app {
namespace {

Diagnostic problem(const Run& run, Severity severity, std::string code, Span at, std::string message) {
  return {severity, std::move(code), std::move(message), run.line.readings, at, {}};
}

// The stage, depth and aim that a plan's id is of, if it is not what is asked for: somebody forgot to copy one of them.
std::optional<PlanOptions> plan_elsewhere(const Netlist& netlist, const PlanOptions& asked,
                                          const PlanReference& named) {
  constexpr std::size_t kMostStages = 4;
  // A dozen plans are made for this hint: not for a harness that takes long over one.
  constexpr std::size_t kMostProbes = 200'000;
  const Burden burden = burden_of(netlist.harness);
  if (burden.points * burden.points / 2 * burden.settings > kMostProbes) return std::nullopt;
  std::vector<PlanOptions> others;
  for (std::size_t s = 0; s <= std::min(kMostStages, netlist.harness.stages().size()); ++s) {
    for (const Depth depth : {Depth::Full, Depth::Outside}) {
      others.push_back(asked);
      others.back().stage = s == 0 ? std::nullopt : std::optional(s - 1);
      others.back().depth = depth;
    }
  }
  for (const Aim aim : {Aim::Usual, Aim::Quick, Aim::Thorough}) {
    others.push_back(asked);
    others.back().aim = aim;
  }
  for (const PlanOptions& other : others) {
    if (plan_for(netlist.harness, netlist.id, other).id == named.id) return other;
  }
  return std::nullopt;
}

// The plan whose steps the readings name. What was known of meter and temperature when it was printed isn't in the
// readings file, and may have decided its steps: so each that could have been known is tried.
Plan plan_named(const Run& run, const Netlist& netlist, const Sheet& sheet, const Conditions& now,
                std::optional<std::size_t> stage) {
  const PlanReference& named = *sheet.plan;
  const Meter usual = netlist.meter.value_or(assumed_meter());
  const std::vector<Conditions> tries{
      now, {usual, netlist.temperature}, {usual, now.temperature}, {now.meter, netlist.temperature}};
  PlanOptions options;
  options.costs = now.workshop.costs;
  options.common = now.workshop.common;
  options.stage = stage;
  for (const Aim aim : {Aim::Thorough, Aim::Quick}) {
    if (named.aim == aim_name(aim)) options.aim = aim;
  }
  options.lift = named.lift;
  options.after = find_repair(netlist.harness, named.after, run.line.readings, named.at);
  options.depth = named.depth == "outside" ? Depth::Outside : Depth::Full;
  std::string id;
  for (const Conditions& conditions : tries) {
    options.meter = conditions.meter;
    options.temperature = conditions.coils();
    Plan plan = plan_for(netlist.harness, netlist.id, options);
    if (plan.id == named.id) return plan;
    if (id.empty()) id = plan.id;
  }
  if (const auto other = plan_elsewhere(netlist, options, named)) {
    const auto called = [&](const PlanOptions& of) {
      std::string text = of.stage ? fmt::format("stage {}", netlist.harness.stages()[*of.stage].name)
                                  : "no stage, all parts there";
      text += fmt::format(", depth {}", of.depth == Depth::Outside ? "outside" : "full");
      if (of.aim != Aim::Usual) text += fmt::format(", aim {}", aim_name(of.aim));
      return text;
    };
    Diagnostic wrong = problem(run, Severity::Error, "U302", named.at,
                               fmt::format("plan {} is of {}; the readings say it is of {}", named.id,
                                           called(*other), called(options)));
    std::string more = other->stage ? ", stage: " + netlist.harness.stages()[*other->stage].name : "";
    if (other->depth == Depth::Outside) more += ", depth: outside";
    if (other->aim != Aim::Usual) more += fmt::format(", aim: {}", aim_name(other->aim));
    wrong.note(fmt::format("write 'plan: {{id: {}{}}}'", named.id, more));
    throw BadInput{{wrong}};
  }
  throw BadInput{
      {problem(run, Severity::Error, "U302", named.at,
               fmt::format("the readings name steps of plan {}, but this harness, stage and depth now give "
                           "plan {}; print the plan again, or say between which points each reading was",
                           named.id, id))}};
}

class Observer {
 public:
  Observer(const Run& run, const Harness& harness, const Meter& meter, const Plan* plan)
      : run_(run), harness_(harness), meter_(meter), plan_(plan) {}

  std::vector<std::optional<Observation>> observe(const std::vector<Entry>& entries,
                                                  std::optional<std::size_t> stage) {
    stage_ = stage;
    std::vector<std::optional<Observation>> observations;
    for (const Entry& entry : entries) {
      const bool placed = entry.kind == EntryKind::Reading || entry.kind == EntryKind::Skipped;
      observations.push_back(placed ? observe(entry) : std::nullopt);
      if (observations.back()) check_present(entry, *observations.back(), stage);
    }
    if (!errors_.empty()) throw BadInput{errors_};
    const auto weighed = std::count_if(entries.begin(), entries.end(), [](const Entry& entry) {
      return entry.kind == EntryKind::Reading && entry.weighed();
    });
    const std::string why = too_many_to_weigh(static_cast<std::size_t>(weighed));
    if (!why.empty()) throw bad_input("U323", "too long a record: " + why, run_.line.readings);
    return observations;
  }

 private:
  std::optional<Observation> observe(const Entry& entry) {
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
    bool farads = entry.farads;
    if (entry.step) {
      const Step* step = find_step(entry);
      if (!step || step->tips_together) return std::nullopt;
      if (!entry.placed) {
        seen.a = step->a;
        seen.b = step->b;
      }
      if (!entry.set_given) seen.setting = step->setting;
      if (entry.lifted.empty() && !entry.placed) seen.lifted = step->lifted;
      seen.access = step->access;
      if (!take_action(entry, *step, seen)) return std::nullopt;
      if (step->capacitance && !entry.placed && entry.shows == Shows::OverRange) farads = true;
      if (entry.kind == EntryKind::Reading && !entry.placed && farads != step->capacitance.has_value()) {
        errors_.push_back(problem_at(entry, fmt::format("step {} reads {}, not '{}'", step->number,
                                                        farads ? "ohms" : "farads, as '47.2n'", entry.text)));
        return std::nullopt;
      }
      // A meter that picks its range may have picked another one.
      if (!meter_.automatic && farads == step->capacitance.has_value()) seen.range = step->range;
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
      if (range) seen.range = *range;
    }
    if (entry.step && !entry.range && entry.weighed()) {
      check_reading(entry, entry.text, seen.range, false);
      for (const Display& end : entry.ends) {
        if (!end.range) check_reading(entry, end.text, seen.range, true);
      }
    }
    return seen;
  }

  // What was done at a step is what the step says, unless a plain value stands there: that is the reading at its start.
  bool take_action(const Entry& entry, const Step& step, Observation& seen) {
    const bool of_sweep = entry.shows == Shows::Smooth || entry.shows == Shows::Jumps;
    const bool of_wiggle = entry.shows == Shows::Steady || entry.shows == Shows::Unstable;
    std::string wrong;
    if (entry.action != Action::Read) {
      // The entry says by itself what was done.
    } else if (step.kind == StepKind::Sweep) {
      if (of_wiggle) wrong = fmt::format("sweeps {}: it reads smooth or jumps", harness_[*step.swept].name);
      if (of_sweep) {
        seen.action = Action::Sweep;
        seen.swept = step.swept;
      }
    } else if (step.kind == StepKind::Wiggle) {
      if (of_sweep) wrong = "wiggles: it reads steady or unstable";
      if (of_wiggle) {
        seen.action = Action::Wiggle;
        seen.wiggled = step.wiggled;
      }
    } else if (of_sweep || entry.shows == Shows::Steady) {
      wrong = "is a plain reading: it reads a value, OL, beep, no beep or unstable";
    }
    if (!wrong.empty()) {
      wrong += fmt::format(", not '{}'", entry.text);
    } else if (!entry.ends.empty() && seen.action != Action::Sweep) {
      wrong = step.kind == StepKind::Sweep ? "has 'ends', so it reads smooth or jumps"
                                           : "has no 'ends': it is no sweep";
    } else if (!entry.ends.empty() && seen.setting.knob(*seen.swept) != 0 &&
               seen.setting.knob(*seen.swept) != 10) {
      wrong = fmt::format("sweeps {}, which is set to no stop", harness_[*seen.swept].name);
    }
    if (wrong.empty()) return true;
    errors_.push_back(problem_at(entry, fmt::format("step {} {}", step.number, wrong)));
    return false;
  }

  Diagnostic problem_at(const Entry& entry, std::string message) const {
    return problem(run_, Severity::Error, "U305", entry.at, std::move(message));
  }

  // The range of a step only the plan knows, so its reading has not been judged before.
  void check_reading(const Entry& entry, const std::string& text, const std::optional<Range>& range,
                     bool of_end) {
    const Parsed<Shown> shown = parse_display(text, meter_);
    if (!shown.value) return;
    const auto why =
        reading_problem(meter_, range ? std::optional(range->top) : std::nullopt, *shown.value, text);
    if (!why) return;
    const bool above = why->kind == ReadingProblem::Kind::AboveRange;
    Diagnostic error = problem(run_, Severity::Error, above ? "R303" : "R302", entry.at, why->problem);
    const std::string hint = why->in_file(text, of_end);
    if (!hint.empty()) error.note(hint);
    errors_.push_back(std::move(error));
  }

  const Step* find_step(const Entry& entry) {
    for (const Step& step : plan_->steps) {
      if (step.number != *entry.step) continue;
      const bool takes_value = step.tips_together && entry.shows == Shows::Value;
      const bool reads =
          step.kind != StepKind::Prepare && step.kind != StepKind::Lift && step.kind != StepKind::Refit;
      if (reads || takes_value) return &step;
      errors_.push_back(problem(run_, Severity::Error, "U303", entry.at,
                                fmt::format("step {} of plan {} takes no reading", step.number, plan_->id)));
      return nullptr;
    }
    errors_.push_back(problem(run_, Severity::Error, "U303", entry.at,
                              fmt::format("plan {} has no step {}; its last is {}", plan_->id, *entry.step,
                                          plan_->steps.empty() ? 0 : plan_->steps.back().number)));
    return nullptr;
  }

  void check_present(const Entry& entry, const Observation& seen, std::optional<std::size_t> stage) {
    State state;
    state.setting = seen.setting;
    state.stage = stage;
    const Circuit circuit = circuit_of(harness_, state);
    for (PointId point : {seen.a, seen.b}) {
      const std::string why = why_absent(harness_, circuit, stage, point);
      if (!why.empty()) errors_.push_back(problem(run_, Severity::Error, "U304", entry.at, why));
    }
  }

  const Run& run_;
  const Harness& harness_;
  const Meter& meter_;
  const Plan* plan_;
  std::optional<std::size_t> stage_;
  std::vector<Diagnostic> errors_;
};

}  // namespace

// The readings may have moved since, so a file of the same name counts as the same.
void compare_harness_files(Run& run, const Sheet& sheet) {
  if (sheet.harness_file.empty()) return;
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::path named = fs::path(run.line.readings).parent_path() / sheet.harness_file;
  if (fs::equivalent(named, run.line.harness, error)) return;
  if (named.filename() == fs::path(run.line.harness).filename()) return;
  run.heading.warnings.insert(run.heading.warnings.end() - static_cast<std::ptrdiff_t>(run.noticed),
                              problem(run, Severity::Warning, "U101", {},
                                      fmt::format("the readings are of '{}', and are compared with '{}'",
                                                  sheet.harness_file, run.line.harness)));
}

std::optional<Plan> plan_of(const Run& run, const Netlist& netlist, const Sheet& sheet, const Conditions& now,
                            std::optional<std::size_t> stage) {
  const auto named = std::find_if(sheet.entries.begin(), sheet.entries.end(),
                                  [](const Entry& entry) { return entry.step.has_value(); });
  if (named == sheet.entries.end()) return std::nullopt;
  if (!sheet.plan) {
    throw BadInput{{problem(run, Severity::Error, "U302", named->at,
                            "'step' needs 'plan: {id: ...}', which says of which plan")}};
  }
  return plan_named(run, netlist, sheet, now, stage);
}

void take_leads(const Sheet& sheet, const Plan* plan, Meter& meter) {
  const auto take = [&](Ohms ohms) {
    const Ohms digit = meter.step(meter.ranges.front());
    meter.leads_low = std::max(0.0, ohms - digit);
    meter.leads_high = ohms + digit;
  };
  for (const Entry& entry : sheet.entries) {
    if (entry.kind == EntryKind::Tips && entry.aside.empty()) take(entry.value);
    if (!plan || !entry.weighed() || !entry.step || entry.farads || entry.shows != Shows::Value) continue;
    for (const Step& step : plan->steps) {
      if (step.tips_together && step.number == *entry.step) take(entry.value);
    }
  }
}

std::vector<std::optional<Observation>> observe(const Run& run, const Harness& harness, const Meter& meter,
                                                const Plan* plan, const std::vector<Entry>& entries,
                                                std::optional<std::size_t> stage) {
  return Observer(run, harness, meter, plan).observe(entries, stage);
}

}  // namespace lugwise::app
