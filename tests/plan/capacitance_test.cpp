// A capacitor by itself, on a meter that has the ranges for it.
#include <algorithm>

#include "support/catch.h"
#include "support/harness_from.h"

#include "plan/plan.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

PlanOptions with_capacitance() {
  PlanOptions options;
  options.meter.capacitance = {{2e-9, 0.04, 3}, {20e-9, 0.04, 3}, {200e-9, 0.04, 3}};
  return options;
}

std::ptrdiff_t in_farads(const Plan& plan) {
  return std::count_if(plan.steps.begin(), plan.steps.end(),
                       [](const Step& step) { return step.capacitance.has_value(); });
}

}  // namespace

// By hand: 47n is 42.3n to 51.7n within 10 %; the display errs by 4 % and 3 digits of 0.1n: 40.308n to 54.068n.
TEST_CASE("a loose capacitor is measured on the lowest range that surely holds it", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/parts/capacitor.yaml");
  const Plan without = plan_for(netlist.harness, netlist.id, {});
  CHECK(in_farads(without) == 0);
  CHECK(without.seen == 1);

  const Plan plan = plan_for(netlist.harness, netlist.id, with_capacitance());
  REQUIRE(in_farads(plan) == 1);
  const Step& step = plan.steps.back();
  REQUIRE(step.capacitance);
  CHECK(step.range.top == 200e-9);
  CHECK_THAT(step.capacitance->shows.low, WithinRel(40.308e-9, 1e-9));
  CHECK_THAT(step.capacitance->shows.high, WithinRel(54.068e-9, 1e-9));
  CHECK(plan.seen == 2);
  CHECK(plan.unseen.empty());
  CHECK(plan.id != without.id);
}

TEST_CASE("a capacitor with the pickups across it is not measured in place", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  for (const Step& step : plan_for(netlist.harness, netlist.id, with_capacitance()).steps) {
    if (!step.capacitance) continue;
    const State state{step.setting, std::nullopt, step.access.depth > 0, {}, {}};
    CHECK_FALSE(expect(circuit_of(netlist.harness, state), step.a, step.b).unlimited);
    CHECK(expect(circuit_of(netlist.harness, state), step.a, step.b).open);
  }
}

TEST_CASE("with one of its leads off a capacitor is measured where it is", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  PlanOptions options = with_capacitance();
  const Plan without = plan_for(harness, netlist.id, options);
  CHECK(in_farads(without) == 0);
  CHECK(without.unseen.size() == 1);
  options.lift = true;
  const Plan plan = plan_for(harness, netlist.id, options);
  REQUIRE(in_farads(plan) == 1);
  CHECK(plan.unseen.empty());
  for (const Step& step : plan.steps) {
    if (!step.capacitance) continue;
    REQUIRE(step.lifted.size() == 1);
    CHECK(harness[step.lifted[0]].part == harness.find_part("cap"));
    CHECK(harness[step.a].part == harness.find_part("cap"));
    CHECK(step.range.top == 200e-9);
    REQUIRE(step.proves.size() == 1);
    CHECK(plan.faults[step.proves[0]].site == Site::Capacitor);
    CHECK(plan.faults[step.proves[0]].mode == Mode::Open);
  }
}
