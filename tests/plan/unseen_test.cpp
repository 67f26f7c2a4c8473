// Why a plan says it does not show a fault, and whether what it says would show it does.

#include <regex>
#include <string>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Plan thorough(const Netlist& netlist) {
  PlanOptions options;
  options.aim = Aim::Thorough;
  return plan_for(netlist.harness, netlist.id, options);
}

Unseen unseen(const Netlist& netlist, const std::string& fault) {
  const Plan plan = thorough(netlist);
  for (const Unseen& each : plan.unseen) {
    if (in_words(netlist.harness, plan.faults[each.fault]) == fault) return each;
  }
  FAIL(fault << " is not unseen");
  return {};
}

}  // namespace

TEST_CASE("with the lead off that a plan names, an open between the ends of the element reads open",
          "[plan]") {
  const std::regex lifted("lift (\\S+) from (\\S+) and (?:measure (\\S+) alone|probe across)");
  std::size_t tried = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    for (const Unseen& each : plan.unseen) {
      std::smatch found;
      if (!std::regex_match(each.would, found, lifted)) continue;
      const Fault& fault = plan.faults[each.fault];
      const Element& element = harness[*fault.element];
      INFO(path << ", " << in_words(harness, fault) << ": " << each.would);
      State state;
      state.setting = Setting(harness);
      CHECK(true_ohms(harness, state, element.a, element.b, nullptr));
      CHECK(true_ohms(harness, state, element.a, element.b, &fault));  // the second path
      state.lifted = {*harness.find_point(found[1].str())};
      CHECK(true_ohms(harness, state, element.a, element.b, nullptr));
      CHECK_FALSE(true_ohms(harness, state, element.a, element.b, &fault));
      ++tried;
    }
  }
  CHECK(tried > 15);  // sweeps show most broken tracks
}

// In `both` the front coil is the nearer way round the rear track of the blend; with the rear pickup alone its own coil stays.
TEST_CASE("the second path named is the one that no setting takes away", "[plan]") {
  const Unseen track = unseen(netlist_of("harnesses/fernhollow-16.yaml"), "the track of blend-rear is open");
  CHECK(track.why == "a second path stays: the wire blend.case to blend-rear.1, the coil of rear");
  CHECK(track.would == "lift one lead of blend-rear and measure it alone");
}

TEST_CASE("what a module, a sum of coils or the eye alone could tell is said to be that", "[plan]") {
  const Netlist bass = netlist_of("harnesses/fernhollow-14.yaml");
  CHECK(unseen(bass, "the contact between bypass.in-active and bypass.in stays closed").why ==
        "only a module joins them, and what it reads nobody knows");
  CHECK(unseen(bass, "the coil between twin.cream and twin.slug-finish has a wrong value").why ==
        "only the sum of its coils can be read, and their tolerances hide it");
  const Netlist hollow = netlist_of("harnesses/fernhollow-12.yaml");
  CHECK(unseen(hollow, "front.core is on front-volume.2 instead of front-volume.3").would ==
        "look where each lead goes");
  CHECK(unseen(hollow, "the track of tone is worn").would ==
        "take it out where an iron gets at it, then lift one lead of tone and sweep it alone, from tone.1 to "
        "tone.2");
}
