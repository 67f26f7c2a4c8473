#include "session/opening.h"

namespace lugwise {

Opening opening_of(const Netlist& netlist, const Conditions& conditions, const Wanted& wanted,
                   const Job* job) {
  Opening opening;
  opening.options = conditions.plan_options();
  if (job) {
    const PlanOptions before = job->plan_options();
    opening.options.stage = before.stage;
    opening.options.aim = before.aim;
    opening.options.depth = wanted.depth.value_or(before.depth);
    if (job->sheet.plan) opening.plan = job->sheet.plan->id;
    opening.record = record_of(netlist.harness, *job);
    return opening;
  }
  opening.options.stage = wanted.stage;
  opening.options.depth = wanted.depth.value_or(Depth::Full);
  if (!conditions.meter.assumed) opening.record.meter = conditions.meter;
  opening.record.temperature = conditions.temperature;
  opening.record.values = netlist.values;
  return opening;
}

}  // namespace lugwise
