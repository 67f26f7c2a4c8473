#include "report/faults.h"
#include "allowance.h"
#include "command.h"
#include "fault/kind.h"
#include "fault/naming.h"
#include "form.h"
#include "load.h"
#include "progress.h"
#include "typed.h"

namespace lugwise::app {

ExitCode faults_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  FaultList list;
  list.options.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  list.options.temperature = conditions.coils();
  list.options.meter = conditions.meter;
  list.options.common = conditions.workshop.common;
  const std::vector<PointId> place = read_place(run, harness);
  const Setting setting = read_setting(run, harness);
  if (!run.line.set.empty()) list.options.setting = setting;
  list.at = run.line.at;

  std::vector<Fault> faults = faults_at(harness, list.options.stage);
  weigh(faults, list.options.common);
  list.of = faults.size();
  if (!list.at.empty()) std::erase_if(faults, [&](const Fault& fault) { return !touches(fault, place); });
  SearchSize size = size_of_search(harness, list.options.stage, faults);
  if (list.options.setting) size.settings = 1;
  announce(run, work_of_effects(size));
  list.effects = shown_while(run, "trying the faults", [&](const Reached& reached) {
    return effects_of(harness, faults, list.options, reached);
  });
  answer(run, harness, list);
  return ExitCode::Well;
}

}  // namespace lugwise::app
