#include "simulation/simulation.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "allowance.h"
#include "circuit/capacitance.h"
#include "command.h"
#include "effect/effect.h"
#include "intake/value.h"
#include "load.h"
#include "plan/plan.h"
#include "record/presence.h"
#include "record/record.h"
#include "report/simulation.h"
#include "simulate.h"

namespace lugwise::app {
namespace {

// A size as typed: ohms of a High, a factor or share of a Value.
double read_size(const Harness& harness, const Fault& fault, const std::string& typed) {
  const std::string what = in_words(harness, fault);
  if (fault.mode == Mode::High && !is_worn_track(fault)) {
    const Parsed<Ohms> ohms = parse_ohms(typed);
    if (!ohms.value) throw WrongUsage{"--size: " + ohms.why()};
    if (!(*ohms.value > 0)) throw WrongUsage{fmt::format("--size: write more than 0 ohms, not '{}'", typed)};
    return *ohms.value;
  }
  if (fault.mode != Mode::Value) throw WrongUsage{fmt::format("--size: '{}' has none", what)};
  const Parsed<double> share = parse_share(typed);
  const Parsed<double> factor = share.value ? share : parse_number(typed);
  if (!factor.value || !(*factor.value > 0 && *factor.value <= 1000))
    throw WrongUsage{fmt::format(
        "--size: of a wrong value write how many times the right one it is, such as 0.5 or 50%, not '{}'",
        typed)};
  return *factor.value;
}

// Where the harness lies, as seen from where the readings go.
std::string seen_from_output(const Run& run) {
  namespace fs = std::filesystem;
  if (run.line.output.empty()) return run.line.harness;
  std::error_code error;
  const fs::path folder = fs::absolute(fs::path(run.line.output), error).parent_path();
  const fs::path there = fs::proximate(fs::absolute(run.line.harness, error), folder, error);
  return error || there.empty() ? run.line.harness : there.generic_string();
}

// The one reading that the command line asks for.
Observation asked_for(const Run& run, const Harness& harness, const Meter& meter,
                      std::optional<std::size_t> stage, Range& range) {
  const Probes probes = read_probes(run, harness);
  Observation seen;
  seen.a = probes.a;
  seen.b = probes.b;
  seen.setting = probes.setting;
  seen.lifted = probes.lifted;
  seen.access = access_for(harness, {probes.a, probes.b}, probes.lifted, stage);
  const State state{seen.setting, stage, seen.access.depth > 0, seen.lifted, Temperature{}};
  const Circuit circuit = circuit_of(harness, state);
  for (PointId point : {seen.a, seen.b}) {
    const std::string why = why_absent(harness, circuit, stage, point);
    if (!why.empty()) throw bad_input("U313", why, run.line.harness);
  }
  const Expected expected = expect(circuit, seen.a, seen.b);
  range = range_for(meter, expected.open || expected.unlimited ? HUGE_VAL : expected.ohms.high,
                    plugs_among(harness, seen.a, seen.b));
  return seen;
}

}  // namespace

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
      ailments.back().size = read_size(harness, faults[ailments.back().fault], given.value);
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

  PlanOptions wanted;
  wanted.stage = options.stage;
  wanted.meter = conditions.meter;
  wanted.temperature = conditions.coils();
  wanted.costs = conditions.workshop.costs;
  wanted.common = conditions.workshop.common;
  if (run.line.plan == "thorough") wanted.aim = Aim::Thorough;
  if (run.line.plan == "quick") wanted.aim = Aim::Quick;

  Record record;
  record.harness_file = seen_from_output(run);
  record.values = netlist.values;
  record.meter = conditions.meter;
  record.temperature = conditions.temperature;
  std::vector<Observation> seen;
  if (!run.line.probes.empty()) {
    Range range;
    seen.push_back(asked_for(run, harness, conditions.meter, options.stage, range));
    simulation.take(seen.back(), range);
    record.plan.id = "000000";
  } else {
    announce_plan(run, harness, wanted);
    const Plan plan = plan_for(harness, netlist.id, wanted);
    seen = take_plan(simulation, harness, plan);
    record.plan.id = plan.id;
  }
  record.plan.aim = aim_name(wanted.aim);
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
