#include "simulation/simulation.h"

#include <fmt/format.h>

#include <algorithm>

#include "allowance.h"
#include "circuit/capacitance.h"
#include "command.h"
#include "effect/effect.h"
#include "file.h"
#include "intake/fault_size.h"
#include "intake/value.h"
#include "load.h"
#include "plan/plan.h"
#include "record/expected_reading.h"
#include "record/record.h"
#include "report/simulation.h"
#include "simulate.h"
#include "typed.h"

namespace lugwise::app {

std::vector<Ailment> read_ailments(const Run& run, const Harness& harness, const std::vector<Fault>& faults) {
  std::vector<Ailment> ailments;
  bool sized = true;
  for (const Given& given : run.line.given) {
    if (given.option == "--fault") {
      const std::size_t fault = find_fault_of(harness, faults, given.value, run.line.harness);
      for (const Ailment& other : ailments) {
        if (other.fault == fault) throw WrongUsage{fmt::format("--fault: '{}' is given twice", given.value)};
      }
      ailments.push_back({fault, usual_size(faults[fault]), false});
      sized = false;
    } else if (given.option == "--size") {
      if (ailments.empty() || sized) throw WrongUsage{"--size: it goes behind the --fault it is of"};
      const Parsed<double> size = parse_fault_size(harness, faults[ailments.back().fault], given.value);
      if (!size.value) throw WrongUsage{"--size: " + size.why()};
      ailments.back().size = *size.value;
      sized = true;
    }
  }
  return ailments;
}

double read_slips(const std::string& typed) {
  if (typed.empty()) return 0;
  const Parsed<double> share = parse_share(typed);
  if (!share.value) throw WrongUsage{"--slips: " + share.why()};
  if (!(*share.value >= 0 && *share.value <= 0.5))
    throw WrongUsage{fmt::format("--slips: write 0% to 50%, not '{}'", typed)};
  return *share.value;
}

ExitCode simulate_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  SimulationOptions options;
  options.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  options.meter = conditions.meter;
  options.temperature = conditions.temperature;
  options.seed = run.line.seed;
  options.slips = read_slips(run.line.slips);
  const std::vector<Fault> faults = faults_at(harness, options.stage);
  Simulation simulation(harness, faults, read_ailments(run, harness, faults), options);

  PlanOptions wanted = conditions.plan_options();
  wanted.stage = options.stage;
  wanted.aim = find_aim(run.line.plan).value_or(Aim::Usual);

  Record record;
  record.harness_file =
      run.line.output.empty() ? run.line.harness : seen_from(folder_of(run.line.output), run.line.harness);
  record.values = netlist.values;
  record.meter = conditions.meter;
  record.temperature = conditions.temperature;
  std::vector<Observation> seen;
  if (!run.line.probes.empty()) {
    seen.push_back(read_reading(run, harness, options.stage));
    simulation.take(seen.back(), expected_reading(harness, seen.back(), options.stage, conditions).range);
    record.plan.id = kNoPlan;
  } else {
    announce_plan(run, harness, wanted);
    const Plan plan = plan_for(harness, netlist.id, wanted);
    seen = take_plan(simulation, harness, plan);
    record.plan.id = plan.id;
  }
  record.plan.aim = wanted.aim;
  if (options.stage) record.plan.stage = harness.stages()[*options.stage].name;
  if (run.line.json) {
    give(run, readings_as_json(run.heading, harness, seen));
    return ExitCode::Well;
  }
  for (Observation& each : seen) {
    Deed deed;
    deed.seen = std::move(each);
    record.deeds.push_back(std::move(deed));
  }
  give(run, as_readings_file(harness, record));
  return ExitCode::Well;
}

}  // namespace lugwise::app
