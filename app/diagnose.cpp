#include "diagnosis/diagnosis.h"

#include "allowance.h"
#include "command.h"
#include "form.h"
#include "load.h"
#include "progress.h"
#include "report/diagnosis.h"
#include "report/instrument.h"

namespace lugwise::app {

ExitCode diagnose_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Job job = load_job(run, netlist);
  const std::vector<Observation> observations = job.weighed();
  announce(run, work_of_diagnosis(search_size(harness, job.stage), observations.size()));
  DiagnosisOptions options = job.diagnosis_options();
  options.scope = scope_of(held_against(netlist, job));
  const Diagnosis diagnosis = shown_while(run, "weighing the faults", [&] {
    return diagnose(harness, observations, options, job.sheet.heard, job.unproven());
  });
  const Filed filed{job.sheet.entries, job.sheet.heard, found_before_repairs(harness, job), options.scope};
  if (run.line.html && run.line.html_form == "page") {
    give(run, as_instrument_page(run.heading, harness, observations, diagnosis, filed,
                                 {job.sheet.unit, job.stage}, netlist.places));
  } else if (run.line.html) {
    give(run, as_html(run.heading, harness, observations, diagnosis, filed, netlist.places));
  } else {
    answer(run, harness, observations, diagnosis, filed);
  }
  return diagnosis.verdict == Verdict::Sound ? ExitCode::Well : ExitCode::Found;
}

}  // namespace lugwise::app
