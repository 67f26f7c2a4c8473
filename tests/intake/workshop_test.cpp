// What a workshop file says arrives in the seconds and the weights; every key does.

#include "intake/workshop.h"

#include <algorithm>
#include <string>

#include "plan/plan.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinRel;

Workshop workshop_of(const std::string& text) {
  Diagnostics diagnostics("workshop.yaml");
  const auto workshop = read_workshop(text, diagnostics);
  if (!workshop) FAIL(render(diagnostics.list().front(), text));
  return *workshop;
}

std::size_t problems_in(const std::string& text) {
  Diagnostics diagnostics("workshop.yaml");
  CHECK_FALSE(read_workshop(text, diagnostics));
  return diagnostics.list().size();
}

TEST_CASE("a workshop file's seconds arrive one by one, and what it leaves out is as usual", "[intake]") {
  const Workshop all = workshop_of(
      "lugwise-workshop: 1\n"
      "seconds: {open-cavity: 1, open-cover: 2, read: 3 s, move-probe: 4, turn-control: 5s, change-range: 6, "
      "sweep: 7, wiggle: 8, lift: 9, refit: 10.5}\n"
      "faulty: 80%\n");
  CHECK(all.costs.open_cavity == 1);
  CHECK(all.costs.open_cover == 2);
  CHECK(all.costs.read == 3);
  CHECK(all.costs.move_probe == 4);
  CHECK(all.costs.turn_control == 5);
  CHECK(all.costs.change_range == 6);
  CHECK(all.costs.sweep == 7);
  CHECK(all.costs.wiggle == 8);
  CHECK(all.costs.lift == 9);
  CHECK(all.costs.refit == 10.5);
  CHECK_THAT(all.costs.faulty, WithinRel(0.8, 1e-9));
  CHECK(all.common.empty());
  const Workshop none = workshop_of("lugwise-workshop: 1\n");
  CHECK(none.costs.read == Costs{}.read);
  CHECK(none.costs.faulty == Costs{}.faulty);
}

TEST_CASE("each kind of fault that a harness can have takes a weight, and keeps its own without one",
          "[intake]") {
  for (const std::string& path : test::worked_harnesses()) {
    const Netlist netlist = test::worked_harness(path);
    for (const Fault& fault : faults_of(netlist.harness)) {
      const std::string text = "lugwise-workshop: 1\ncommon: {" + std::string(mode_name(fault.mode)) + ": {" +
                               std::string(site_name(fault.site)) + ": 7.5}}\n";
      std::vector<Fault> faults{fault};
      weigh(faults, workshop_of(text).common);
      // Of one that fails in a single position of its switch, the share that it has of its kind.
      CHECK(faults[0].weight == 7.5 * (fault.in ? kOneLeaf : 1));
      faults[0].mode = fault.mode == Mode::Open ? Mode::Short : Mode::Open;
      faults[0].weight = 1;
      weigh(faults, workshop_of(text).common);
      CHECK(faults[0].weight == 1);
    }
  }
}

TEST_CASE("all that is wrong with a workshop file is told at once", "[intake]") {
  CHECK(problems_in(
            "lugwise-workshop: 1\nseconds: {raed: 3, read: -1}\nfaulty: half\ncommon: {opens: {}}\n") == 4);
  CHECK(problems_in("lugwise-workshop: 1\nseconds: [4]\ncommon: {open: 1, short: {braid: 0}}\n") == 3);
  CHECK(problems_in("seconds: {read: 4}\n") == 1);
  CHECK(problems_in("- 4\n") == 1);
  CHECK(problems_in("lugwise-workshop:\n") == 1);
}

TEST_CASE("the shipped workshop file says what is usual", "[intake]") {
  const Workshop shipped = workshop_of(test::file_text("harnesses/workshops/fernhollow.yaml"));
  for (const std::string& path : test::worked_harnesses()) {
    const Netlist netlist = test::worked_harness(path);
    std::vector<Fault> faults = faults_of(netlist.harness);
    const std::vector<Fault> usual = faults;
    weigh(faults, shipped.common);
    for (std::size_t f = 0; f < faults.size(); ++f) CHECK(faults[f].weight == usual[f].weight);
  }
  const Costs usual;
  CHECK(shipped.costs.open_cavity == usual.open_cavity);
  CHECK(shipped.costs.read == usual.read);
  CHECK(shipped.costs.refit == usual.refit);
}

TEST_CASE("a workshop where a turn costs more turns less", "[intake]") {
  const Netlist netlist = test::netlist_of("harnesses/fernhollow-11.yaml");
  PlanOptions options;
  options.depth = Depth::Outside;  // each opening is planned by itself, so only of one of them this is sure
  const auto turns = [&](const Plan& plan) {
    int sum = 0;
    Setting now(netlist.harness);
    for (const Step& step : plan.steps) {
      if (step.kind != StepKind::Read && step.kind != StepKind::Sweep) continue;
      sum += turns_between(netlist.harness, now, step.setting);
      now = left_at(step);  // a sweep leaves its knob at the other stop
    }
    return sum;
  };
  const Plan usual = plan_for(netlist.harness, netlist.id, options);
  options.costs =
      workshop_of("lugwise-workshop: 1\nseconds: {turn-control: 60, read: 1, move-probe: 1}").costs;
  const Plan slow = plan_for(netlist.harness, netlist.id, options);
  CHECK(turns(slow) <= turns(usual));
  CHECK(slow.id != usual.id);
}

}  // namespace
}  // namespace lugwise
