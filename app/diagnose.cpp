#include "diagnosis/diagnosis.h"

#include <ostream>

#include "command.h"
#include "form.h"
#include "load.h"
#include "observe.h"
#include "report/diagnosis.h"

namespace lugwise::app {

ExitCode diagnose_command(Run& run) {
  const Netlist netlist = load_netlist(run);
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
  if (run.line.html) {
    give(run, as_html(run.heading, harness, observations, diagnosis, sheet.entries, netlist.places));
  } else {
    answer(run, harness, observations, diagnosis, sheet.entries);
  }
  return diagnosis.verdict == Verdict::Sound ? ExitCode::Well : ExitCode::Found;
}

}  // namespace lugwise::app
