// A part alone, and a harness that is not in its instrument yet.
#include <algorithm>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Plan plan_of(const Netlist& netlist, Depth depth = Depth::Full) {
  PlanOptions options;
  options.depth = depth;
  return plan_for(netlist.harness, netlist.id, options);
}

bool between(const Harness& harness, const Step& step, const char* a, const char* b) {
  return std::minmax(step.a, step.b) == std::minmax(*harness.find_point(a), *harness.find_point(b));
}

int count(const Plan& plan, StepKind kind) {
  return static_cast<int>(std::count_if(plan.steps.begin(), plan.steps.end(),
                                        [&](const Step& step) { return step.kind == kind; }));
}

}  // namespace

TEST_CASE("a part alone is on the bench: no cautions, nothing opened, nothing to press", "[plan]") {
  for (const char* part : {"{kind: pot, track: 250k}", "{kind: pickup, dcr: 6k, shield: true}",
                           "{kind: resistor, value: 82k}", "{kind: capacitor, value: 22n}",
                           "{kind: switch, lugs: [a, b], positions: {off: [], on: [[a, b]]}}"}) {
    const Netlist netlist = netlist_from(std::string("parts:\n  one: ") + part + "\n");
    const Plan plan = plan_of(netlist);
    INFO(part);
    CHECK(plan.cautions.empty());
    CHECK(plan.seconds < 120);  // at 15 a reading
    CHECK(plan.least_seconds <= plan.seconds);
    CHECK(count(plan, StepKind::Read) > 0);
    CHECK(count(plan, StepKind::Wiggle) == 0);
    for (const Step& step : plan.steps) CHECK(step.access == Access{1, "bench"});
    // Nothing is shut, so a plan from outside is the same.
    CHECK(plan_of(netlist, Depth::Outside).id == plan.id);
  }
}

TEST_CASE("a loose pot is read end to end, to its case, and swept in both halves", "[plan]") {
  const Netlist netlist = netlist_from("parts:\n  volume: {kind: pot, track: 250k, taper: audio}\n");
  const Harness& harness = netlist.harness;
  const Plan plan = plan_of(netlist);
  const auto any = [&](StepKind kind, const auto& fits) {
    return std::any_of(plan.steps.begin(), plan.steps.end(),
                       [&](const Step& step) { return step.kind == kind && fits(step); });
  };
  CHECK(
      any(StepKind::Read, [&](const Step& step) { return between(harness, step, "volume.1", "volume.3"); }));
  CHECK(any(StepKind::Read, [&](const Step& step) {
    const PointId body = *harness.find_point("volume.case");
    return step.expected.open && (step.a == body || step.b == body);
  }));
  CHECK(count(plan, StepKind::Sweep) == 2);
  CHECK(
      any(StepKind::Sweep, [&](const Step& step) { return between(harness, step, "volume.1", "volume.2"); }));
  CHECK(
      any(StepKind::Sweep, [&](const Step& step) { return between(harness, step, "volume.2", "volume.3"); }));
  CHECK(plan.unseen.empty());
}

TEST_CASE("a capacitor alone rises, then reads open, and only a capacitance range shows it open", "[plan]") {
  const Netlist netlist = netlist_from("parts:\n  cap: {kind: capacitor, value: 22n}\n");
  const Plan plan = plan_of(netlist);
  REQUIRE(count(plan, StepKind::Read) == 1);
  CHECK(plan.steps.back().expected.open);
  CHECK(plan.steps.back().notes.front() == "It rises first, while cap charges, then shows OL.");
  REQUIRE(plan.unseen.size() == 1);
  CHECK(plan.unseen[0].would == "measure cap on a capacitance range");
}

TEST_CASE("a stage without the bridge is on the bench, the whole instrument is not", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  PlanOptions options;
  options.stage = 0;
  const Plan bench = plan_for(netlist.harness, netlist.id, options);
  for (const Step& step : bench.steps) CHECK(step.access == Access{1, "bench"});
  for (const std::string& caution : bench.cautions) CHECK(caution.find("slacken") == std::string::npos);
  CHECK_FALSE(bench.cautions.empty());
  const Plan whole = plan_of(netlist);
  CHECK(bench.seconds < whole.seconds - 100);
  CHECK(whole.steps.front().access.depth == 0);
  const auto slacken = [](const std::string& caution) {
    return caution.find("slacken") != std::string::npos;
  };
  CHECK(std::any_of(whole.cautions.begin(), whole.cautions.end(), slacken));
}

TEST_CASE("on the bench a touch that needs the closed cavity is open, and every point is within reach",
          "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack:     {kind: jack, reach: outside}
  plate:    {kind: metal, points: [top]}
  paint:    {kind: metal, points: [wall], reach: plugboard}
  hardware: {kind: metal, points: [bridge]}
joints:
  - [jack.sleeve, hardware.bridge]
touches:
  - {points: [plate.top, paint.wall], closed: true}
stages:
  board: {without: [hardware]}
)");
  CHECK(on_bench(netlist.harness, 0));
  CHECK_FALSE(on_bench(netlist.harness, std::nullopt));
  CHECK(accesses(netlist.harness, 0) == std::vector{Access{1, "bench"}});
  CHECK(access_to(netlist.harness, *netlist.harness.find_point("paint.wall"), 0) == Access{1, "bench"});
  const std::vector<PointId> points = reachable(netlist.harness, 0, 1);
  CHECK(std::count(points.begin(), points.end(), *netlist.harness.find_point("paint.wall")) == 1);
}

TEST_CASE("a diagnosis at such a stage looks for its next probe on the bench", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  PlanOptions options;
  options.stage = 0;
  const Plan plan = plan_for(netlist.harness, netlist.id, options);
  std::vector<Observation> readings = take_readings(netlist.harness, plan, nullptr);
  readings.resize(1);
  readings[0].shows = Shows::OverRange;
  DiagnosisOptions at_stage;
  at_stage.stage = 0;
  const Diagnosis diagnosis = diagnose(netlist.harness, readings, at_stage);
  REQUIRE(diagnosis.next);
  CHECK(diagnosis.next->access == Access{1, "bench"});
  CHECK(diagnosis.next->seconds < 60);
}
