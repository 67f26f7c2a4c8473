#include <algorithm>
#include <set>

#include "network/network.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

TEST_CASE("the smallest size a plan says it notices leaves a band, half of it need not", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    for (const Smallest& each : plan.smallest) {
      const auto step = std::find_if(plan.steps.begin(), plan.steps.end(),
                                     [&](const Step& one) { return one.number == each.step; });
      REQUIRE(step != plan.steps.end());
      // Everything at its least, the element at that size: the lowest that the step may show.
      State state{step->setting, std::nullopt, step->access.depth > 0, {}, {}};
      Circuit circuit = circuit_of(netlist.harness, state);
      if (!circuit.modules.empty() || !circuit.travels.empty()) continue;
      const auto lowest = [&](double size) {
        std::vector<Resistor> resistors;
        for (const Branch& branch : circuit.branches) {
          resistors.push_back(
              {branch.a.index, branch.b.index, branch.element == each.element ? size : branch.ohms.low});
        }
        const Meter meter = assumed_meter();
        const double ohms = *Network(circuit.points, resistors).resistance(step->a.index, step->b.index);
        return (ohms + meter.leads_low) * (1 - step->range.share) -
               step->range.digits * meter.step(step->range);
      };
      INFO(path << " " << netlist.harness[netlist.harness[each.element].points.back()].name << " "
                << each.ohms);
      CHECK(lowest(each.ohms * 1.000001) > step->shows.high);
      CHECK(lowest(each.ohms * 0.5) < step->shows.high + 2 * assumed_meter().step(step->range));
    }
  }
}

TEST_CASE("an outside plan touches nothing that has to be uncovered", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    PlanOptions options;
    options.depth = Depth::Outside;
    for (const Step& step : plan_for(netlist.harness, netlist.id, options).steps) {
      if (step.kind == StepKind::Prepare) continue;
      for (PointId point : step.wiggled) CHECK(netlist.harness[point].reach.kind == ReachKind::Outside);
      CHECK(netlist.harness[step.a].reach.kind == ReachKind::Outside);
      CHECK(netlist.harness[step.b].reach.kind == ReachKind::Outside);
    }
  }
}

TEST_CASE("a full plan goes outside first, then inside, and never back", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    int depth = 0;
    for (const Step& step : plan_for(netlist.harness, netlist.id, {}).steps) {
      CHECK(step.access.depth >= depth);
      depth = step.access.depth;
    }
  }
}

TEST_CASE("the bounds never exceed the plan", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    const auto reads = std::count_if(plan.steps.begin(), plan.steps.end(),
                                     [](const Step& step) { return step.kind == StepKind::Read; });
    CHECK(plan.least_steps <= reads);
    CHECK(plan.least_seconds <= plan.seconds);
    CHECK(plan.seen + plan.unseen.size() == plan.faults.size());
  }
}

TEST_CASE("the same harness and options give the same plan id, another stage another", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const std::string id = plan_for(netlist.harness, netlist.id, {}).id;
  CHECK(id == plan_for(netlist.harness, netlist.id, {}).id);
  CHECK(id.size() == 6);
  PlanOptions bench;
  bench.stage = 0;
  CHECK(id != plan_for(netlist.harness, netlist.id, bench).id);
}

// A chain of joints between two points outside: each is a cut, so one probe end to end shows them all.
TEST_CASE("one reading through everything in series proves it all", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack: {kind: jack}
  volume: {kind: pot, track: 250k, reach: outside}
wires:
  - [jack.tip, volume.1]
  - [jack.sleeve, volume.3]
)");
  const Plan plan = plan_for(netlist.harness, netlist.id, {});
  REQUIRE(plan.steps.size() >= 2);
  CHECK(plan.least_steps >= 1);
  // Two contacts, four joints, two wires and the track.
  std::ptrdiff_t opens = 0;
  for (const Step& step : plan.steps) {
    opens = std::max(opens, std::count_if(step.proves.begin(), step.proves.end(),
                                          [&](std::size_t f) { return plan.faults[f].mode == Mode::Open; }));
  }
  CHECK(opens == 9);
}

// No reading shows a joint cold that nothing reads through, however cold it is.
TEST_CASE("a thorough plan promises a cold joint from a size that an ohmmeter has", "[plan]") {
  for (const char* path : {"harnesses/fernhollow-5.yaml", "harnesses/fernhollow-12.yaml"}) {
    const Netlist netlist = netlist_of(path);
    PlanOptions options;
    options.aim = Aim::Thorough;
    const Plan plan = plan_for(netlist.harness, netlist.id, options);
    std::set<std::size_t> unseen;
    for (const Unseen& each : plan.unseen) unseen.insert(each.fault);
    for (std::size_t f = 0; f < plan.faults.size(); ++f) {
      INFO(path << ", " << in_words(netlist.harness, plan.faults[f]));
      CHECK((plan.sizes[f] < 1e9 || unseen.count(f) == 1));
    }
  }
}
