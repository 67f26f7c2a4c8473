#include "simulation/simulation.h"

#include <algorithm>
#include <set>

#include "circuit/capacitance.h"
#include "diagnosis/diagnosis.h"
#include "handling/dial.h"
#include "handling/handling.h"
#include "sheet/step_reading.h"
#include "simulation/dice.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

std::vector<std::string> texts_of(const std::vector<Observation>& seen) {
  std::vector<std::string> texts;
  for (const Observation& each : seen) texts.push_back(each.text);
  return texts;
}

std::size_t find(const std::vector<Fault>& faults, const Harness& harness, const std::string& words) {
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (in_words(harness, faults[f]) == words) return f;
  }
  FAIL("no such fault: " << words);
  return 0;
}

}  // namespace

TEST_CASE("the dice throw these numbers on every machine and with every compiler", "[simulation]") {
  // Pinned: the same seed must stay the same instrument.
  Dice dice(1, 2);
  const double first = dice.even();
  CHECK(first == 0.43922347189729294);
  CHECK(dice.below(1000) == 848);
  CHECK(dice.between(10, 35) == 32.83134491967644);
}

TEST_CASE("the same seed reads the same at the same place, whatever was read before", "[simulation]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  const auto faults = faults_of(harness);
  SimulationOptions options;
  options.seed = 5;
  options.slips = 0.2;
  Simulation one(harness, faults, {}, options);
  Simulation other(harness, faults, {}, options);
  const auto in_order = texts_of(take_plan(one, harness, plan));
  std::vector<Observation> backwards;
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Prepare) continue;
    backwards.insert(backwards.begin(), as_observation(harness, step));
  }
  std::vector<std::string> read;
  std::vector<const Step*> steps;
  for (const Step& step : plan.steps) {
    if (step.kind != StepKind::Prepare) steps.insert(steps.begin(), &step);
  }
  for (std::size_t i = 0; i < backwards.size(); ++i) {
    other.take(backwards[i], steps[i]->range);
    read.insert(read.begin(), backwards[i].text);
  }
  CHECK(read == in_order);
  options.seed = 6;
  Simulation third(harness, faults, {}, options);
  CHECK(texts_of(take_plan(third, harness, plan)) != in_order);
}

TEST_CASE("what a slip writes down stands on a range that shows it", "[simulation]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-5.yaml");
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  const auto faults = faults_of(harness);
  std::size_t ends = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    SimulationOptions options;
    options.seed = seed;
    options.slips = 0.5;
    Simulation simulation(harness, faults, {}, options);
    for (const Observation& seen : take_plan(simulation, harness, plan)) {
      for (const Display& end : seen.ends) {
        if (end.shows != Shows::Value) continue;
        INFO("seed " << seed << ": " << end.text);
        CHECK_THAT(end.resolution, WithinRel(options.meter.step(end.range ? *end.range : *seen.range), 1e-9));
        ends += end.range ? 1 : 0;
      }
    }
  }
  CHECK(ends > 10);
}

TEST_CASE("a sound instrument is found sound by every plan of the worked harnesses", "[simulation]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    if (harness.points().size() > 120) continue;  // the small ones, for speed
    const auto faults = faults_of(harness);
    const Plan plan = plan_for(harness, netlist.id, {});
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
      SimulationOptions options;
      options.seed = seed;
      Simulation simulation(harness, faults, {}, options);
      DiagnosisOptions told;
      told.suggest = told.separate = false;
      told.scope = scope_of(plan);
      const Diagnosis diagnosis = diagnose(harness, take_plan(simulation, harness, plan), told);
      INFO(path << ", seed " << seed);
      CHECK(diagnosis.verdict == Verdict::Sound);
      CHECK(std::all_of(diagnosis.readings.begin(), diagnosis.readings.end(),
                        [](const Comparison& each) { return each.agrees; }));
    }
  }
}

TEST_CASE(
    "a meter that picks its ranges has none set, and its next probe is told on what a sound one would be "
    "read on",
    "[simulation]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  DiagnosisOptions told;
  told.meter.automatic = true;
  const auto faults = faults_of(harness);
  Diagnoser diagnoser(harness, told);
  PlanOptions planned;
  planned.meter = told.meter;
  const Plan plan = plan_for(harness, netlist.id, planned);
  int probes = 0;
  for (std::size_t f = 0; f < faults.size(); f += 7) {
    SimulationOptions simulated;
    simulated.meter = told.meter;
    Simulation simulation(harness, faults, {{f, 0, false}}, simulated);
    std::vector<Observation> seen = take_plan(simulation, harness, plan);
    for (int i = 0; i < 4; ++i) {
      const Diagnosis diagnosis = diagnoser.diagnose(seen);
      if (!diagnosis.next) break;
      const NextProbe& next = *diagnosis.next;
      CHECK(next.range.top ==
            range_to_take(told.meter, next.expected, plugs_among(harness, next.a, next.b)).top);
      Observation probe = as_observation(harness, next);
      simulation.take(probe, next.range);
      if (probe.action == Action::Read) CHECK_FALSE(probe.range);
      seen.push_back(std::move(probe));
      ++probes;
    }
  }
  CHECK(probes > 20);
}

TEST_CASE("a worn track jumps, and reads as a sound one where it rests", "[simulation]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  const Plan plan = plan_for(harness, netlist.id, {});
  const std::size_t worn = find(faults, harness, "the track of tone is worn");
  Simulation simulation(harness, faults, {{worn, 0, false}}, {});
  Simulation sound(harness, faults, {}, {});
  int swept = 0;
  for (const Step& step : plan.steps) {
    if (step.kind != StepKind::Sweep && step.kind != StepKind::Read) continue;
    Observation one = as_observation(harness, step);
    Observation other = as_observation(harness, step);
    simulation.take(one, step.range);
    sound.take(other, step.range);
    if (step.kind == StepKind::Read) {
      CHECK(one.text == other.text);
    } else if (step.swept == harness.find_part("tone")) {
      CHECK(one.text == "jumps");
      CHECK(other.text == "smooth");
      ++swept;
    }
  }
  CHECK(swept == 1);
}

TEST_CASE("what comes and goes is there only while it is pressed", "[simulation]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  const std::size_t open = find(faults, harness, "the joint of front.hot at selector.f is open");
  Simulation simulation(harness, faults, {{open, 0, true}}, {});
  Observation seen;
  seen.a = *harness.find_point("selector.f");
  seen.b = *harness.find_point("front.hot");
  seen.setting = Setting(harness);
  seen.access = {1, "cavity"};
  const Range range = *assumed_meter().find_range(200);
  simulation.take(seen, range);
  CHECK(seen.shows == Shows::Value);
  seen.action = Action::Wiggle;
  seen.wiggled = {seen.a};
  simulation.take(seen, range);
  CHECK(seen.shows == Shows::Unstable);
  seen.wiggled = {*harness.find_point("selector.r")};
  simulation.take(seen, range);
  CHECK(seen.shows == Shows::Steady);
}

TEST_CASE("a capacitor reads its farads, none where it is open and OL where it is shorted", "[simulation]") {
  const Netlist netlist = netlist_from(R"(
parts:
  cap: {kind: capacitor, value: 47n}
)");
  const Harness& harness = netlist.harness;
  const auto faults = faults_of(harness);
  SimulationOptions options;
  options.meter.capacitance = {{2e-7, 0.02, 3}};
  const auto read = [&](std::vector<Ailment> ailments) {
    Simulation simulation(harness, faults, std::move(ailments), options);
    Observation seen;
    seen.a = *harness.find_point("cap.1");
    seen.b = *harness.find_point("cap.2");
    seen.setting = Setting(harness);
    seen.capacitor = capacitor_between(harness, seen.a, seen.b);
    simulation.take(seen, options.meter.capacitance.front());
    return seen;
  };
  const Observation sound = read({});
  CHECK(sound.value > 47e-9 * 0.75);
  CHECK(sound.value < 47e-9 * 1.25);
  CHECK(read({{find(faults, harness, "the capacitor cap is open"), 0, false}}).value < 1e-9);
  CHECK(read({{find(faults, harness, "the capacitor cap is shorted"), 0, false}}).shows == Shows::OverRange);
}
