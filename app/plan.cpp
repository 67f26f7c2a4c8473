#include "plan/plan.h"

#include <ostream>

#include "allowance.h"
#include "command.h"
#include "form.h"
#include "load.h"
#include "progress.h"
#include "report/plan.h"
#include "report/sheet.h"
#include "typed.h"

namespace lugwise::app {

ExitCode plan_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Conditions conditions = load_conditions(run, netlist);
  PlanOptions options = conditions.plan_options();
  options.stage = find_stage(netlist.harness, run.line.stage, run.line.harness, {});
  options.depth = depth_of(run.line);
  options.aim = aim_of(run.line);
  options.walk = !run.line.walk.empty();
  options.lift = run.line.lift;
  options.after = read_repair(run, netlist.harness);
  announce_plan(run, netlist.harness, options);
  const Plan plan = shown_while(run, "choosing the probes", [&](const Reached& reached) {
    return plan_for(netlist.harness, netlist.id, options, reached);
  });
  if (run.line.html) {
    give(run, run.line.html_form == "long" ? as_html(run.heading, netlist.harness, plan, netlist.places)
                                           : as_sheet(run.heading, netlist.harness, plan, netlist.places));
  } else {
    answer(run, netlist.harness, plan);
  }
  return ExitCode::Well;
}

}  // namespace lugwise::app
