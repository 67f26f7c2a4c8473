// The ground walk against faulty harnesses: which reading is wrong first, and where halving then leads.

#include "plan/walk.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "fault/fault.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Walk walk_of(const Harness& harness) {
  const auto walk = walk_ground(harness, std::nullopt, assumed_meter(), {});
  REQUIRE(walk);
  return *walk;
}

// Whether the reading from the anchor to a point is no ground any more.
bool wrong(const Harness& harness, const Walk& walk, PointId to, const Fault& fault) {
  if (to == walk.anchor) return false;
  const State state{walk.setting, std::nullopt, walk.access.depth > 0, {}, {}};
  const auto ohms = true_ohms(harness, state, walk.anchor, to, &fault);
  return !ohms || *ohms > 100;
}

Fault open_at(ElementId element) {
  Fault fault;
  fault.mode = Mode::Open;
  fault.element = element;
  return fault;
}

}  // namespace

TEST_CASE("the first wrong reading of the ground walk brackets the open, and halving finds its bracket",
          "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    const auto walk = walk_ground(harness, std::nullopt, assumed_meter(), {});
    if (!walk) continue;
    for (const WalkStep& step : walk->steps) {
      for (std::size_t e = 0; e < step.proves.size(); ++e) {
        INFO(path << ", to " << harness[step.to].name);
        const Fault fault = open_at(step.proves[e]);
        // No reading before is wrong, and the point that is taken as good is.
        for (const WalkStep& before : walk->steps) {
          if (&before == &step) break;
          CHECK_FALSE(wrong(harness, *walk, before.to, fault));
        }
        CHECK_FALSE(wrong(harness, *walk, step.from, fault));
        REQUIRE(wrong(harness, *walk, step.to, fault));
        // Halving by readings alone, until nothing parts the bracket.
        std::size_t low = 0, high = step.stretch.size() - 1;
        std::size_t below = 0, above = step.proves.size();
        int readings = 0;
        for (;;) {
          const std::size_t at = half_of(step.bounds, low, high, below, above);
          if (at == high) break;
          ++readings;
          if (wrong(harness, *walk, step.stretch[at], fault)) {
            high = at;
            above = step.bounds[at];
          } else {
            low = at + 1;
            below = step.bounds[at];
          }
        }
        CHECK(readings <= step.most);
        CHECK(below <= e);
        CHECK(e < above);
        // What is left lies between neighbouring points: no reading within reach parts it.
        for (const std::size_t bound : step.bounds) CHECK((bound <= below || bound >= above));
      }
      // As many as halving takes of so many brackets (information: each reading has two outcomes).
      const std::set<std::size_t> brackets(step.bounds.begin(), step.bounds.end());
      CHECK(step.most >= static_cast<int>(std::ceil(
                             std::log2(static_cast<double>(brackets.size()) - (brackets.count(0) ? 1 : 0)))));
    }
  }
}

TEST_CASE("every ground element is proved once by the walk, or a second way doubles it", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const auto walk = walk_ground(netlist.harness, std::nullopt, assumed_meter(), {});
    if (!walk) continue;
    INFO(path);
    std::set<ElementId> proved;
    for (const WalkStep& step : walk->steps) {
      for (ElementId element : step.proves) CHECK(proved.insert(element).second);
      CHECK(step.expected.ohms.high < 50);
    }
    for (ElementId element : walk->in_loops) CHECK(proved.count(element) == 0);
    // A probe at every point but the anchor is what it takes with no drawing at all.
    CHECK(walk->steps.size() < walk->points.size());
  }
}

// Two-probe continuity tests find all opens with (terminals - nets) of them: a spanning tree's edges (bare-board practice;
// from memory). A chain is one net, and one reading from end to end carries it whole.
TEST_CASE("a chain of grounds takes one reading where a spanning tree takes one a terminal", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack:  {kind: jack}
  one:   {kind: metal, points: [a]}
  two:   {kind: metal, points: [a]}
  three: {kind: metal, points: [a]}
  four:  {kind: metal, points: [a]}
wires:
  - [jack.sleeve, one.a, two.a, three.a, four.a]
)");
  const Walk walk = walk_of(netlist.harness);
  CHECK(netlist.harness[walk.anchor].name == "jack.plug-sleeve");
  REQUIRE(walk.steps.size() == 1);
  CHECK(netlist.harness[walk.steps[0].to].name == "four.a");
  // The plug's contact, then four legs of a joint, a wire and a joint each.
  CHECK(walk.steps[0].proves.size() == 13);
  // 13 elements with a point between any two: ceil(log2 13) = 4.
  CHECK(walk.steps[0].most == 4);
}

TEST_CASE("a star of grounds takes a reading for each arm", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack:  {kind: jack}
  one:   {kind: metal, points: [a]}
  two:   {kind: metal, points: [a]}
  three: {kind: metal, points: [a]}
wires:
  - [jack.sleeve, one.a]
  - [jack.sleeve, two.a]
  - [jack.sleeve, three.a]
)");
  CHECK(walk_of(netlist.harness).steps.size() == 3);
}

TEST_CASE("grounds in a ring are told of as doubled", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack:  {kind: jack}
  one:   {kind: metal, points: [a]}
  two:   {kind: metal, points: [a]}
wires:
  - [jack.sleeve, one.a, two.a]
  - [two.a, jack.sleeve]
)");
  const Walk walk = walk_of(netlist.harness);
  // Three legs of three elements each.
  CHECK(walk.in_loops.size() == 9);
}

// From memory: the alphabetic tree of n equal leaves takes ceil(log2 n) readings at worst.
TEST_CASE("halving even brackets takes the logarithm of their number at worst", "[plan]") {
  for (std::size_t n = 1; n <= 64; ++n) {
    std::vector<std::size_t> bounds;
    for (std::size_t i = 1; i <= n; ++i) bounds.push_back(i);
    for (std::size_t at_fault = 0; at_fault < n; ++at_fault) {
      std::size_t low = 0, high = n - 1, below = 0, above = n;
      std::size_t readings = 0;
      for (std::size_t at; (at = half_of(bounds, low, high, below, above)) != high; ++readings) {
        if (bounds[at] > at_fault) {
          high = at;
          above = bounds[at];
        } else {
          low = at + 1;
          below = bounds[at];
        }
      }
      CHECK(below == at_fault);
      CHECK(readings <= static_cast<std::size_t>(std::ceil(std::log2(static_cast<double>(n)))));
    }
  }
}
