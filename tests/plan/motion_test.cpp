// Steps that are watched: sweeps and wiggles, and the notes beside a step.
#include <algorithm>
#include <random>
#include <set>

#include "expectation/corner.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/draw.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

std::vector<Step> of_kind(const Plan& plan, StepKind kind) {
  std::vector<Step> steps;
  std::copy_if(plan.steps.begin(), plan.steps.end(), std::back_inserter(steps),
               [&](const Step& step) { return step.kind == kind; });
  return steps;
}

// What a drawn sound harness reads at a step with the knob somewhere.
std::optional<double> drawn(const Harness& harness, const Step& step, double knob, std::mt19937& random,
                            const std::set<ElementId>& without = {}) {
  State state{step.setting, std::nullopt, step.access.depth > 0, {}, {}};
  state.setting.turn(*step.swept, knob);
  Circuit circuit = circuit_of(harness, state);
  std::erase_if(circuit.branches, [&](const Branch& branch) { return without.count(branch.element) != 0; });
  return Network(circuit.points, draw(circuit, random)).resistance(step.a.index, step.b.index);
}

}  // namespace

TEST_CASE("no sound draw of a sweep leaves its range, its ends or what it may rise to", "[plan]") {
  std::mt19937 random(5);
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    const Meter meter = assumed_meter();
    for (const Step& step : of_kind(plan, StepKind::Sweep)) {
      INFO(path << " step " << step.number);
      const double start = step.setting.knob(*step.swept);
      const double end = left_at(step).knob(*step.swept);
      CHECK(start + end == 10);
      const int plugs = (netlist.harness[step.a].role == PointRole::Plug) +
                        (netlist.harness[step.b].role == PointRole::Plug);
      CHECK(plugs * meter.cable == 0);
      const double highest =
          step.most ? *step.most : 1.1 * std::max(step.shows.high, step.end.open ? 0 : step.end_shows.high);
      std::uniform_real_distribution<double> knob(0.05, 9.95);
      for (int draws = 0; draws < (kSlowBuild ? 3 : 40); ++draws) {
        const auto first = drawn(netlist.harness, step, start, random);
        REQUIRE(first);
        CHECK(*first + meter.leads_low >= step.shows.low);
        CHECK(*first + meter.leads_high <= step.shows.high);
        const auto last = drawn(netlist.harness, step, end, random);
        REQUIRE(last.has_value() == !step.end.open);
        if (last) {
          CHECK(*last + meter.leads_low >= step.end_shows.low);
          CHECK(*last + meter.leads_high <= step.end_shows.high);
        }
        const auto between = drawn(netlist.harness, step, knob(random), random);
        REQUIRE(between);
        CHECK(*between + meter.leads_high <= highest);
        CHECK_FALSE(over_range(meter, step.range, *between + meter.leads_high));
      }
    }
  }
}

// A wiper that loses its track somewhere is what a jump is: the display must then move, by twenty of its last digits.
TEST_CASE("at each sweep the display jumps where a wiper it proves leaves its track", "[plan]") {
  std::mt19937 random(6);
  int proved = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Depth depth : {Depth::Full, Depth::Outside}) {
      PlanOptions options;
      options.depth = depth;
      const Plan plan = plan_for(netlist.harness, netlist.id, options);
      for (const Step& step : of_kind(plan, StepKind::Sweep)) {
        CHECK_FALSE(step.proves.empty());
        for (std::size_t f : step.proves) {
          const Fault& fault = plan.faults[f];
          if (fault.mode == Mode::Open) continue;  // broken, not worn: below
          CHECK(is_worn_track(fault));
          const PartId pot = *netlist.harness[*fault.element].part;
          const ElementId wiper = netlist.harness[pot].pot->wiper_element;
          bool jumps = false;
          for (double knob = 1; knob < 10; ++knob) {
            State state{step.setting, std::nullopt, step.access.depth > 0, {}, {}};
            state.setting.turn(*step.swept, knob);
            const auto sound = true_ohms(netlist.harness, state, step.a, step.b, nullptr);
            Fault off;
            off.mode = Mode::Open;
            off.site = Site::Wiper;
            off.element = wiper;
            const auto lost = true_ohms(netlist.harness, state, step.a, step.b, &off);
            REQUIRE(sound);
            jumps = jumps || !lost || *lost - *sound > 10 * assumed_meter().step(step.range);
          }
          INFO(path << ": " << in_words(netlist.harness, fault));
          CHECK(jumps);
          ++proved;
        }
      }
    }
  }
  CHECK(proved > 30);
}

// A track that is broken is two pieces, of which the wiper has one: as it goes over the break the display jumps, or it stands
// above all that the step says a sound one rises to.
TEST_CASE("at each sweep the display betrays a broken track that it proves, wherever it is broken",
          "[plan]") {
  int proved = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    for (const Step& step : of_kind(plan, StepKind::Sweep)) {
      for (std::size_t f : step.proves) {
        const Fault& fault = plan.faults[f];
        if (fault.mode != Mode::Open) continue;
        const Pot& pot = *netlist.harness[*netlist.harness[*fault.element].part].pot;
        const double digit = assumed_meter().step(step.range);
        for (double knob = 0.25; knob < 10; knob += 0.25) {
          State state{step.setting, std::nullopt, step.access.depth > 0, {}, {}};
          state.setting.turn(*step.swept, knob);
          const Circuit circuit = circuit_of(netlist.harness, state);
          const auto with_piece = [&](PointId gone) {
            Circuit piece = circuit;
            std::erase_if(piece.branches, [&](const Branch& branch) {
              return branch.element == fault.element && (branch.a == gone || branch.b == gone);
            });
            return network_at(piece, resistors_at(piece, Corner::Nominal))
                .resistance(step.a.index, step.b.index);
          };
          const auto before = with_piece(pot.lug3);
          const auto after = with_piece(pot.lug1);
          const double most = std::max({step.shows.high, step.end_shows.high, step.most.value_or(0)});
          INFO(path << ": " << in_words(netlist.harness, fault) << " at " << knob);
          CHECK((!before || !after || std::abs(*before - *after) > 10 * digit ||
                 std::max(*before, *after) > most));
          ++proved;
        }
      }
    }
  }
  CHECK(proved > 200);
}

TEST_CASE("each track is proved by a sweep, and those without one are told why", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Depth depth : {Depth::Full, Depth::Outside}) {
      PlanOptions options;
      options.depth = depth;
      const Plan plan = plan_for(netlist.harness, netlist.id, options);
      std::multiset<std::size_t> swept;
      for (const Step& step : of_kind(plan, StepKind::Sweep))
        swept.insert(step.proves.begin(), step.proves.end());
      for (std::size_t f = 0; f < plan.faults.size(); ++f) {
        if (!is_worn_track(plan.faults[f])) continue;
        const auto unseen = std::find_if(plan.unseen.begin(), plan.unseen.end(),
                                         [&](const Unseen& one) { return one.fault == f; });
        INFO(path << ": " << in_words(netlist.harness, plan.faults[f]));
        CHECK((swept.count(f) > 0) == (unseen == plan.unseen.end()));
        if (unseen != plan.unseen.end()) CHECK_FALSE((unseen->why.empty() || unseen->would.empty()));
      }
    }
  }
}

TEST_CASE("a volume is swept at the plug from outside, each knob once inside, a blend's two tracks at once",
          "[plan]") {
  const Netlist two = netlist_of("harnesses/fernhollow-2.yaml");
  const std::vector<Step> sweeps = of_kind(plan_for(two.harness, two.id, {}), StepKind::Sweep);
  REQUIRE(sweeps.size() == 2);
  std::set<std::string> knobs;
  for (const Step& step : sweeps) {
    knobs.insert(two.harness[*step.swept].name);
    // From the plug or within the harness a volume's display rises on its way; a tone's does not.
    CHECK(step.most.has_value() == (two.harness[*step.swept].name == "volume"));
  }
  CHECK(knobs == std::set<std::string>{"volume", "tone"});

  PlanOptions outside;
  outside.depth = Depth::Outside;
  const std::vector<Step> plug = of_kind(plan_for(two.harness, two.id, outside), StepKind::Sweep);
  REQUIRE(plug.size() == 1);
  CHECK(two.harness[*plug[0].swept].name == "volume");

  const Netlist blend = netlist_of("harnesses/fernhollow-16.yaml");
  const std::vector<Step> blended = of_kind(plan_for(blend.harness, blend.id, {}), StepKind::Sweep);
  CHECK(
      std::any_of(blended.begin(), blended.end(), [](const Step& step) { return step.proves.size() == 2; }));
}

// 7 kilohms across a sound volume of 250 kilohms, wiper to ground: the most is a quarter of both in series.
TEST_CASE("a volume's display rises to about a quarter of its track on the way", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  single: {kind: pickup, dcr: 7k, tolerance: 1%}
  volume: {kind: pot, track: 250k, tolerance: 1%, taper: linear}
  jack:   {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.1, single.ground]
wires:
  - [volume.2, jack.tip]
  - [volume.1, jack.sleeve]
)");
  PlanOptions options;
  options.temperature = exactly(20);
  const std::vector<Step> sweeps = of_kind(plan_for(netlist.harness, netlist.id, options), StepKind::Sweep);
  REQUIRE(sweeps.size() == 1);
  // (250k + 7k) / 4 = 64.25k; 1 % more for the parts, 0.8 % and 2 digits of 100 for the meter.
  REQUIRE(sweeps[0].most);
  CHECK(*sweeps[0].most > 64.25e3 * 1.009 * 1.008);
  CHECK(*sweeps[0].most < 64.25e3 * 1.011 * 1.008 + 300);
  CHECK(sweeps[0].range.top == 200e3);
}

TEST_CASE("every joint that a reading of the plan runs through alone is wiggled", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    const std::vector<Step> wiggles = of_kind(plan, StepKind::Wiggle);
    const int deepest = plan.steps.back().access.depth;
    std::set<ElementId> watched;
    for (const Step& step : wiggles) {
      CHECK(step.access.depth == deepest);
      CHECK(step.proves.empty());
      CHECK_FALSE(step.wiggled.empty());
      for (PointId point : step.wiggled) CHECK(harness.probeable(point));
      const State state{step.setting, std::nullopt, deepest > 0, {}, {}};
      for (const Branch& branch : circuit_of(harness, state).branches) {
        Fault off;
        off.mode = Mode::Open;
        off.element = branch.element;
        const auto sound = true_ohms(harness, state, step.a, step.b, nullptr);
        const auto lost = true_ohms(harness, state, step.a, step.b, &off);
        if (!lost || *lost - *sound > 2.9 * assumed_meter().step(step.range)) watched.insert(branch.element);
      }
    }
    for (const Step& step : of_kind(plan, StepKind::Read)) {
      if (step.expected.open || !step.expected.known) continue;
      const State state{step.setting, std::nullopt, deepest > 0, {}, {}};
      const Circuit circuit = circuit_of(harness, state);
      if (!expect(circuit, step.a, step.b).known) continue;
      for (const Branch& branch : circuit.branches) {
        const Element& element = harness[branch.element];
        if (element.kind != ElementKind::Joint) continue;
        if (!harness.probeable(element.points[0]) || access_to(harness, element.points[0])->depth > deepest)
          continue;
        Fault off;
        off.mode = Mode::Open;
        off.element = branch.element;
        if (true_ohms(harness, state, step.a, step.b, &off)) continue;
        INFO(path << ": " << harness[element.points[1]].name << ", step " << step.number);
        CHECK(watched.count(branch.element) == 1);
      }
    }
  }
}

TEST_CASE("from outside only the plug is moved", "[plan]") {
  PlanOptions options;
  options.depth = Depth::Outside;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Step& step : of_kind(plan_for(netlist.harness, netlist.id, options), StepKind::Wiggle)) {
      for (PointId point : step.wiggled) CHECK(netlist.harness[point].role == PointRole::Plug);
    }
  }
}

// Each step's seconds by hand: where the probes were and the controls stood, a knob swept standing at its other end.
TEST_CASE("the plan's seconds are those of all its steps, one after the other", "[plan]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    const Costs cost;
    double sum = 0;
    Setting setting(harness);
    std::set<PointId> held;
    int depth = 0;
    double range = 0;
    int number = 0;
    for (const Step& step : plan.steps) {
      CHECK(step.number == ++number);
      if (step.kind == StepKind::Prepare) continue;
      if (step.parked) CHECK(held.count(step.a) == 1);
      sum += step.kind == StepKind::Sweep ? cost.sweep : cost.read;
      sum += cost.wiggle * static_cast<double>(step.wiggled.size());
      sum += cost.turn_control * turns_between(harness, setting, step.setting);
      for (PointId point : {step.a, step.b}) sum += held.count(point) ? 0 : cost.move_probe;
      if (step.access.depth > 0 && depth == 0) sum += cost.open_cavity;
      if (step.access.depth > 1 && depth < step.access.depth) sum += cost.open_cover;
      if (range != 0 && range != step.range.top) sum += cost.change_range;
      held = {step.a, step.b};
      setting = left_at(step);
      depth = step.access.depth;
      range = step.range.top;
    }
    INFO(path);
    CHECK_THAT(plan.seconds + plan.wiggle_seconds, WithinRel(sum, 1e-9));
  }
}

namespace {

const char* const kGrounded = R"(
parts:
  single: {kind: pickup, dcr: 7k}
  volume: {kind: pot, track: 250k}
  tone:   {kind: pot, track: 250k}
  jack:   {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
wires:
  - [volume.2, jack.tip]
  - [volume.case, tone.case, jack.sleeve]
)";

bool noted(const Step& step, std::string_view begins) {
  return std::any_of(step.notes.begin(), step.notes.end(),
                     [&](const std::string& note) { return note.starts_with(begins); });
}

}  // namespace

TEST_CASE("a step through a coil says to wait, one above 100 kilohms or open says to keep fingers off",
          "[plan]") {
  const Netlist netlist = netlist_from(kGrounded);
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  int waits = 0;
  int fingers = 0;
  for (const Step& step : of_kind(plan, StepKind::Read)) {
    double coil = 0;
    for (const Contribution& part : step.expected.through)
      coil += harness[part.element].kind == ElementKind::Coil ? part.share : 0;
    CHECK(noted(step, "Wait until it settles") == (coil > 0.2));
    CHECK(noted(step, "Fingers off") == (step.expected.open || step.expected.ohms.high > 100e3));
    CHECK_FALSE(noted(step, "On this range"));
    waits += noted(step, "Wait until it settles") ? 1 : 0;
    fingers += noted(step, "Fingers off") ? 1 : 0;
  }
  CHECK(waits > 0);
  CHECK(fingers > 0);
}

// Two digits of 10 ohms and rounding, upward for what is sound and again for what is not: 2 + 3 of them.
TEST_CASE("a meter too coarse for a ground step says from which size on it tells", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  jack:     {kind: jack}
  hardware: {kind: metal, points: [bridge]}
wires:
  - [jack.sleeve, hardware.bridge]
)");
  PlanOptions coarse;
  coarse.meter.ranges.erase(coarse.meter.ranges.begin(), coarse.meter.ranges.begin() + 2);
  const Plan plan = plan_for(netlist.harness, netlist.id, coarse);
  int grounds = 0;
  for (const Step& step : of_kind(plan, StepKind::Read)) {
    const bool ground = !step.expected.open && step.expected.ohms.high < 20;
    CHECK(noted(step, "On this range") == ground);
    if (!ground) continue;
    CHECK(noted(step, "On this range one digit is 10 Ω: a cold joint under about 50 Ω does not show."));
    ++grounds;
  }
  CHECK(grounds > 0);
}

TEST_CASE("the tips are held together first, and the leads need no sum", "[plan]") {
  const Netlist netlist = netlist_from(kGrounded);
  PlanOptions options;
  const Step first = plan_for(netlist.harness, netlist.id, options).steps.front();
  CHECK(first.tips_together);
  CHECK(first.instruction.find("up to 0.3 ohm is the leads") != std::string::npos);
  CHECK(first.instruction.find("once more") != std::string::npos);
  options.meter.leads_low = options.meter.leads_high = 0;
  CHECK(plan_for(netlist.harness, netlist.id, options).steps.front().instruction.find("zeroed") !=
        std::string::npos);
}
