#include "diagnosis/diagnosis.h"

#include <fmt/format.h>

#include "command.h"
#include "form.h"
#include "load.h"
#include "observe.h"
#include "plan/plan.h"
#include "report/diagnosis.h"

namespace lugwise::app {
namespace {

// From what stood in the file until each repair: also what was put aside for it.
std::vector<Filed::Before> found_before_repairs(const Harness& harness, const Sheet& sheet,
                                                const std::vector<std::optional<Observation>>& observed,
                                                const DiagnosisOptions& options) {
  std::vector<Filed::Before> found;
  std::vector<std::size_t> repairs;
  for (std::size_t i = 0; i < sheet.entries.size(); ++i) {
    if (sheet.entries[i].kind == EntryKind::Repaired) repairs.push_back(i);
  }
  for (std::size_t n = 0; n < repairs.size(); ++n) {
    // As a session calls it.
    const std::string name = fmt::format("repair {}", n + 1);
    std::vector<Observation> observations;
    for (std::size_t i = 0; i < repairs[n]; ++i) {
      const Entry& entry = sheet.entries[i];
      if (observed[i] && entry.kind == EntryKind::Reading && (entry.aside.empty() || entry.aside == name))
        observations.push_back(*observed[i]);
    }
    std::vector<Heard> heard;
    for (const Heard& one : sheet.heard) {
      if (one.aside == name) heard.push_back(one);
    }
    for (Heard& one : heard) one.aside.clear();
    if (!observations.empty() || !heard.empty())
      found.push_back({repairs[n], diagnose(harness, observations, options, heard)});
  }
  return found;
}

// The plan that the file's readings were taken by, else the usual one: what they are held against.
Plan plan_held_against(const Netlist& netlist, const Sheet& sheet, const Conditions& conditions,
                       std::optional<std::size_t> stage) {
  PlanOptions wanted;
  wanted.stage = stage;
  wanted.meter = conditions.meter;
  wanted.temperature = conditions.coils();
  wanted.costs = conditions.workshop.costs;
  wanted.common = conditions.workshop.common;
  if (sheet.plan && sheet.plan->depth == "outside") wanted.depth = Depth::Outside;
  for (const Aim aim : {Aim::Thorough, Aim::Quick}) {
    if (sheet.plan && sheet.plan->aim == aim_name(aim)) wanted.aim = aim;
  }
  return plan_for(netlist.harness, netlist.id, wanted);
}

// What is weighed, each with what it took the place of since the last repair; and what was wrong before a repair and was
// not taken since.
struct Taken {
  std::vector<Observation> weighed, unproven;
};
Taken taken_from(const Sheet& sheet, const std::vector<std::optional<Observation>>& observed) {
  Taken taken;
  std::vector<Observation> earlier;
  for (std::size_t i = 0; i < observed.size(); ++i) {
    const Entry& entry = sheet.entries[i];
    if (entry.kind == EntryKind::Repaired) earlier.clear();
    if (!observed[i] || entry.kind != EntryKind::Reading) continue;
    Observation seen = *observed[i];
    if (entry.aside == "taken again") earlier.push_back(seen);
    if (entry.aside.starts_with("repair ")) taken.unproven.push_back(seen);
    if (!entry.weighed()) continue;
    for (const Observation& each : earlier) {
      if (at_one_place(each, seen))
        seen.before.push_back({each.shows, each.value, each.resolution, each.text, each.range});
    }
    std::erase_if(taken.unproven, [&](const Observation& each) { return at_one_place(each, seen); });
    seen.place = i + 1;
    taken.weighed.push_back(std::move(seen));
  }
  return taken;
}

}  // namespace

ExitCode diagnose_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Sheet sheet = run.line.readings.empty() ? Sheet{} : load_sheet(run, netlist);
  const Conditions conditions = load_conditions(run, netlist, &sheet);
  compare_harness_files(run, sheet);

  DiagnosisOptions options;
  options.meter = conditions.meter;
  options.temperature = conditions.coils();
  options.costs = conditions.workshop.costs;
  options.common = conditions.workshop.common;
  if (sheet.plan) options.stage = find_stage(harness, sheet.plan->stage, run.line.readings, sheet.plan->at);

  const std::optional<Plan> plan = plan_of(run, netlist, sheet, conditions, options.stage);
  const Plan* const steps = plan ? &*plan : nullptr;
  take_leads(sheet, steps, options.meter);
  run.heading.meter = options.meter;
  const auto observed = observe(run, harness, options.meter, steps, sheet.entries, options.stage);
  const Taken taken = taken_from(sheet, observed);
  const std::vector<Observation>& observations = taken.weighed;
  options.scope = scope_of(plan ? *plan : plan_held_against(netlist, sheet, conditions, options.stage));
  const Diagnosis diagnosis = diagnose(harness, observations, options, sheet.heard, taken.unproven);
  const Filed filed{sheet.entries, sheet.heard, found_before_repairs(harness, sheet, observed, options),
                    options.scope};
  if (run.line.html) {
    give(run, as_html(run.heading, harness, observations, diagnosis, filed, netlist.places));
  } else {
    answer(run, harness, observations, diagnosis, filed);
  }
  return diagnosis.verdict == Verdict::Sound ? ExitCode::Well : ExitCode::Found;
}

}  // namespace lugwise::app
