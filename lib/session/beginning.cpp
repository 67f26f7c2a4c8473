#include "session/beginning.h"

namespace lugwise {

Beginning beginning_of(const Netlist& netlist, const Conditions& conditions, const Wanted& wanted,
                       const Job* job) {
  Beginning beginning;
  beginning.options = conditions.plan_options();
  if (job) {
    const PlanOptions before = job->plan_options();
    beginning.options.stage = before.stage;
    beginning.options.aim = before.aim;
    beginning.options.depth = wanted.depth.value_or(before.depth);
    if (job->sheet.plan) beginning.plan = job->sheet.plan->id;
    beginning.record = record_of(netlist.harness, *job);
    return beginning;
  }
  beginning.options.stage = wanted.stage;
  beginning.options.depth = wanted.depth.value_or(Depth::Full);
  if (!conditions.meter.assumed) beginning.record.meter = conditions.meter;
  beginning.record.temperature = conditions.temperature;
  beginning.record.values = netlist.values;
  return beginning;
}

}  // namespace lugwise
