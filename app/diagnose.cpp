#include "diagnosis/diagnosis.h"

#include <fmt/format.h>

#include "command.h"
#include "form.h"
#include "load.h"
#include "observe.h"
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

}  // namespace

ExitCode diagnose_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Sheet sheet = load_sheet(run, netlist);
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
  std::vector<Observation> observations;
  for (std::size_t i = 0; i < observed.size(); ++i) {
    if (!observed[i] || !sheet.entries[i].weighed()) continue;
    observations.push_back(*observed[i]);
    observations.back().place = i + 1;
  }
  const Diagnosis diagnosis = diagnose(harness, observations, options, sheet.heard);
  const Filed filed{sheet.entries, sheet.heard, found_before_repairs(harness, sheet, observed, options)};
  if (run.line.html) {
    give(run, as_html(run.heading, harness, observations, diagnosis, filed, netlist.places));
  } else {
    answer(run, harness, observations, diagnosis, filed);
  }
  return diagnosis.verdict == Verdict::Sound ? ExitCode::Well : ExitCode::Found;
}

}  // namespace lugwise::app
