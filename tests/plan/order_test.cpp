// What comes first, and what is not counted.

#include <algorithm>
#include <cmath>
#include <string>

#include "expectation/corner.h"
#include "intake/workshop.h"
#include "plan/plan.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Plan plan_of(const Netlist& netlist, Depth depth) {
  PlanOptions options;
  options.depth = depth;
  return plan_for(netlist.harness, netlist.id, options);
}

std::vector<Step> taken(const Plan& plan, bool outside) {
  std::vector<Step> steps;
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Read || step.kind == StepKind::Sweep) {
      if (!outside || step.access.depth == 0) steps.push_back(step);
    }
  }
  return steps;
}

}  // namespace

TEST_CASE("the plan from outside is the full plan's first part, step by step", "[plan]") {
  int outside = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    if (on_bench(netlist.harness, std::nullopt)) continue;
    const std::vector<Step> alone = taken(plan_of(netlist, Depth::Outside), false);
    const std::vector<Step> first = taken(plan_of(netlist, Depth::Full), true);
    INFO(path);
    REQUIRE(alone.size() == first.size());
    for (std::size_t i = 0; i < alone.size(); ++i) {
      CHECK(alone[i].kind == first[i].kind);
      CHECK(alone[i].a == first[i].a);
      CHECK(alone[i].b == first[i].b);
      CHECK(alone[i].setting == first[i].setting);
      ++outside;
    }
  }
  CHECK(outside > 50);
}

TEST_CASE("whether it is alive is read before a knob is swept", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const std::vector<Step> steps = taken(plan_of(netlist, Depth::Full), true);
    const bool reads =
        std::any_of(steps.begin(), steps.end(), [](const Step& step) { return step.kind == StepKind::Read; });
    INFO(path);
    if (reads) CHECK(steps.front().kind == StepKind::Read);
  }
}

TEST_CASE("the test cable is proven before anything is read through it", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_of(netlist, Depth::Full);
    int cable = 0;
    bool plug = false;
    for (const Step& step : plan.steps) {
      if (step.kind == StepKind::Prepare) {
        CHECK_FALSE(plug);
        cable += step.instruction.find("sleeve") != std::string::npos ||
                 step.instruction.find("Through the cable") == 0;
        continue;
      }
      plug = plug || netlist.harness[step.a].role == PointRole::Plug ||
             netlist.harness[step.b].role == PointRole::Plug;
    }
    INFO(path);
    CHECK(cable == (plug && !on_bench(netlist.harness, std::nullopt) ? 3 : 0));
  }
}

TEST_CASE("a bridge between what metal joins in every place is no fault, one that harms in some place is",
          "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    for (const Fault& fault : faults_of(harness)) {
      if (fault.mode != Mode::Short) continue;
      double most = 0;
      for (Setting setting : settings_to_try(harness, std::nullopt)) {
        for (const double place : {-1.0, 5.0}) {
          for (PartId control : harness.controls()) {
            if (place >= 0 && harness[control].kind == PartKind::Pot) setting.turn(control, place);
          }
          const Circuit circuit = circuit_of(harness, {setting, {}, true, {}, {}});
          const auto ohms = circuit.has(fault.a) && circuit.has(fault.b)
                                ? network_at(circuit, resistors_at(circuit, Corner::Nominal))
                                      .resistance(fault.a.index, fault.b.index)
                                : std::nullopt;
          most = std::max(most, ohms.value_or(HUGE_VAL));
        }
      }
      INFO(path << ": " << in_words(harness, fault));
      CHECK(most > 0.5);
    }
  }
  // Joined at 10, where it rests, and 125 kilohms apart in the middle.
  const Harness harness = netlist_of("harnesses/fernhollow-12.yaml").harness;
  const std::vector<Fault> faults = faults_of(harness);
  CHECK(std::any_of(faults.begin(), faults.end(), [&](const Fault& fault) {
    return in_words(harness, fault) == "front-volume.2 and front-volume.3 touch each other";
  }));
}

TEST_CASE("each reading is on the range with the most digits that surely holds it", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Step& step : taken(plan_of(netlist, Depth::Full), false)) {
      if (step.kind != StepKind::Read || step.expected.open || step.capacitance) continue;
      const Meter meter = assumed_meter();
      for (const Range& lower : meter.ranges) {
        if (lower.top >= step.range.top) break;
        INFO(path << ", step " << step.number);
        CHECK(over_range(meter, lower, step.shows.high * 1.01 + 1));
      }
    }
  }
}

TEST_CASE("what lies over the cavity says how long it takes to open", "[plan]") {
  const std::string text = file_text("harnesses/fernhollow-2.yaml");
  const auto opening = [&](const std::string& line) {
    Diagnostics problems("netlist.yaml");
    const auto netlist = read_netlist(text + line, problems);
    REQUIRE(netlist);
    return netlist->opening;
  };
  CHECK_FALSE(opening(""));
  CHECK(opening("\nopening: control plate\n") == 180);
  CHECK(opening("\nopening: scratchplate\n") == 600);
  CHECK(opening("\nopening: 4 min\n") == 240);
  Diagnostics problems("netlist.yaml");
  CHECK_FALSE(read_netlist(text + "\nopening: pickguard\n", problems));
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  PlanOptions options;
  options.costs.open_cavity = kScratchplate;
  const Plan plan = plan_for(netlist.harness, netlist.id, options);
  CHECK(plan.opening_seconds == 600);
  CHECK(plan.seconds > 600);
}
