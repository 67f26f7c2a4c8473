// Plans of another aim, with leads off and after a repair: what each promises beside the usual one.

#include <algorithm>
#include <bit>
#include <map>
#include <set>

#include "network/network.h"
#include "plan/inside/cover.h"
#include "plan/inside/survey.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::plan::inside;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

Plan plan_with(const Netlist& netlist, void (*change)(PlanOptions&, const Harness&)) {
  PlanOptions options;
  change(options, netlist.harness);
  return plan_for(netlist.harness, netlist.id, options);
}

bool unseen(const Plan& plan, std::size_t fault) {
  return std::any_of(plan.unseen.begin(), plan.unseen.end(),
                     [&](const Unseen& one) { return one.fault == fault; });
}

double weight_seen(const Plan& plan) {
  double sum = 0;
  for (std::size_t f = 0; f < plan.faults.size(); ++f) sum += unseen(plan, f) ? 0 : plan.faults[f].weight;
  return sum;
}

const std::vector<std::string> kSome{"harnesses/fernhollow-2.yaml", "harnesses/fernhollow-7.yaml",
                                     "harnesses/fernhollow-10.yaml"};

}  // namespace

TEST_CASE("a quick plan shows four fifths of what is likely in less time, and says what it leaves out",
          "[plan]") {
  for (const std::string& file : kSome) {
    const Netlist netlist = netlist_of(file);
    const Plan usual = plan_for(netlist.harness, netlist.id, {});
    const Plan quick = plan_with(netlist, [](PlanOptions& o, const Harness&) { o.aim = Aim::Quick; });
    INFO(file);
    CHECK(quick.seconds < usual.seconds);
    CHECK(weight_seen(quick) >= 0.8 * weight_seen(usual) - 1e-9);
    CHECK(quick.least_seconds <= quick.seconds);
    std::size_t left_out = 0;
    for (const Unseen& one : quick.unseen) left_out += one.why == "left out to be quick" ? 1 : 0;
    CHECK(left_out == usual.seen - quick.seen);
    REQUIRE(quick.trade.size() == 3);
    CHECK_THAT(quick.trade[1].seconds, WithinRel(usual.seconds, 1e-9));
    CHECK(quick.trade[1].seen == usual.seen);
    CHECK(usual.trade.empty());
    CHECK(quick.id != usual.id);
  }
}

TEST_CASE(
    "a thorough plan notices each cold joint from the size it promises, and shows what the usual one does",
    "[plan]") {
  for (const std::string& file : kSome) {
    const Netlist netlist = netlist_of(file);
    const Plan usual = plan_for(netlist.harness, netlist.id, {});
    const Plan thorough = plan_with(netlist, [](PlanOptions& o, const Harness&) { o.aim = Aim::Thorough; });
    INFO(file);
    for (std::size_t f = 0; f < usual.faults.size(); ++f) {
      const auto same = std::find(thorough.faults.begin(), thorough.faults.end(), usual.faults[f]);
      REQUIRE(same != thorough.faults.end());
      CHECK(unseen(usual, f) == unseen(thorough, static_cast<std::size_t>(same - thorough.faults.begin())));
    }
    int promised = 0;
    for (std::size_t f = 0; f < thorough.faults.size(); ++f) {
      const Fault& fault = thorough.faults[f];
      if (fault.mode != Mode::High || fault.site == Site::Track || fault.site == Site::Wiper ||
          unseen(thorough, f))
        continue;
      ++promised;
      CHECK(thorough.sizes[f] >= kModest);
      const auto least = std::find_if(thorough.smallest.begin(), thorough.smallest.end(),
                                      [&](const Smallest& one) { return one.element == fault.element; });
      REQUIRE(least != thorough.smallest.end());
      CHECK(least->ohms <= thorough.sizes[f] * 1.001);
    }
    CHECK(promised > 10);
  }
}

TEST_CASE("with leads off a plan shows more, and puts each lead back", "[plan]") {
  for (const char* file :
       {"harnesses/fernhollow-9.yaml", "harnesses/fernhollow-10.yaml", "harnesses/fernhollow-14.yaml"}) {
    const Netlist netlist = netlist_of(file);
    const Plan usual = plan_for(netlist.harness, netlist.id, {});
    const Plan lifting = plan_with(netlist, [](PlanOptions& o, const Harness&) { o.lift = true; });
    INFO(file);
    CHECK(lifting.seen > usual.seen);
    CHECK_THAT(lifting.seconds, WithinRel(usual.seconds, 1e-9));
    std::vector<PointId> off;
    double iron = 0;
    for (const Step& step : lifting.steps) {
      if (step.kind == StepKind::Lift) {
        CHECK(off.empty());
        off = step.lifted;
        iron += Costs{}.lift;
      } else if (step.kind == StepKind::Refit) {
        CHECK(step.lifted == off);
        off.clear();
        iron += Costs{}.refit;
      } else {
        CHECK(step.lifted == off);
      }
    }
    CHECK(off.empty());
    CHECK(iron > 0);
    CHECK(lifting.lift_seconds > iron);
  }
}

// The pot is bridged by an ohm on either side of its wiper, so that nothing moves when it is turned.
TEST_CASE("with a lead off a pot is swept that nothing else sees moving", "[plan]") {
  const Netlist netlist = netlist_from(R"(
parts:
  tone: {kind: pot, track: 250k, taper: linear}
  low:  {kind: resistor, value: 1}
  high: {kind: resistor, value: 1}
joints:
  - [tone.1, low.1]
  - [tone.2, low.2, high.1]
  - [tone.3, high.2]
)");
  const Plan usual = plan_for(netlist.harness, netlist.id, {});
  const Plan lifting = plan_with(netlist, [](PlanOptions& o, const Harness&) { o.lift = true; });
  std::size_t worn = 0;
  while (!is_worn_track(usual.faults[worn])) ++worn;
  CHECK(unseen(usual, worn));
  CHECK(lifting.unseen.empty());
  std::size_t sweeps = 0;
  for (const Step& step : lifting.steps) {
    if (step.kind != StepKind::Sweep) continue;
    ++sweeps;
    CHECK(step.proves == std::vector{worn});
    REQUIRE(step.lifted.size() == 1);
    // Half of the bridge is off, so that this half of the track reads 250k at one end, and nothing at the other.
    CHECK_THAT(std::max(step.expected.ohms.nominal, step.end.ohms.nominal), WithinRel(250e3, 0.01));
    CHECK(std::min(step.expected.ohms.nominal, step.end.ohms.nominal) < 100);
  }
  CHECK(sweeps == 1);
}

// Bridges that do no harm are not hunted: of the worked harnesses with ground doubled by a plate these take the most.
TEST_CASE("the fewest leads come off that show all that any would", "[plan]") {
  for (const auto& [file, leads] :
       {std::pair{"harnesses/fernhollow-5.yaml", 5}, std::pair{"harnesses/fernhollow-10.yaml", 4}}) {
    const Netlist netlist = netlist_of(file);
    const Plan plan = plan_with(netlist, [](PlanOptions& o, const Harness&) { o.lift = true; });
    INFO(file);
    CHECK(std::count_if(plan.steps.begin(), plan.steps.end(),
                        [](const Step& step) { return step.kind == StepKind::Lift; }) == leads);
  }
}

TEST_CASE("after a repair the plan asks of what was soldered, heated and moved, and opens nothing",
          "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const Plan plan =
      plan_with(netlist, [](PlanOptions& o, const Harness& h) { o.after = {*h.find_point("volume.case")}; });
  std::set<std::string> asked;
  for (const Fault& fault : plan.faults) asked.insert(in_words(harness, fault));
  // The blob, its leads, what hangs on them and its far end, the heated pot, a neighbour: from the drawing.
  for (const char* one : {"the joint of front.ground at volume.case is open",
                          "the joint of front.ground at volume.case is cold",
                          "the coil between rear.hot and rear.ground is open", "the wiper of volume is open",
                          "volume.2 and volume.case touch each other"})
    CHECK(asked.count(one) == 1);
  CHECK(asked.count("the joint of cap.1 at tone.2 is open") == 0);
  CHECK(asked.count("tone.1 and tone.2 touch each other") == 0);
  double without = 0;
  for (const Step& step : plan.steps) {
    CHECK(step.access.depth == 1);
    without += step.kind == StepKind::Prepare ? 0 : 1;
  }
  CHECK(plan.seconds < 180);
  CHECK(without > 0);
}

// Two-probe continuity tests find all opens of nets with (terminals - nets) of them, and all shorts of q nets with
// q (q - 1) / 2 (from memory: bare-board practice, a spanning tree's edges). Through the coils and the plug one reading
// runs through several nets in series.
TEST_CASE("readings that run through coils are fewer than continuity tests would be", "[plan]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  // Nets: what joints, blobs and wires hold together; the lugs and leads in them are terminals.
  std::vector<Resistor> metal;
  for (const Branch& branch : circuit.branches) {
    const ElementKind kind = harness[branch.element].kind;
    if (kind == ElementKind::Joint || kind == ElementKind::Blob || kind == ElementKind::Wire)
      metal.push_back({branch.a.index, branch.b.index, 1});
  }
  const Network network(circuit.points, metal);
  std::map<std::uint32_t, std::size_t> nets;  // with their terminals
  std::size_t terminals = 0;
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const PointRole role = harness.points()[i].role;
    if (role != PointRole::Lug && role != PointRole::Lead && role != PointRole::Surface) continue;
    ++terminals;
    ++nets[network.component(i)];
  }
  const Plan plan = plan_for(harness, netlist.id, {});
  CHECK(plan.least_exact);
  CHECK(static_cast<std::size_t>(plan.least_steps) < terminals - nets.size());
  CHECK(static_cast<std::size_t>(plan.least_steps) < nets.size() * (nets.size() - 1) / 2);
  // With as many probes as one likes, wiring takes p - 1 + ceil(log2 q) tests, p being the terminals of the largest net
  // and q the nets, and where its structure is known as few as ceil(log2 q) + 1 (Kautz, Testing for faults in wiring
  // networks, IEEE Transactions on Computers C-23, 1974, abstract). Two probes on a meter do with less.
  std::size_t largest = 0;
  for (const auto& [net, size] : nets) largest = std::max(largest, size);
  const int halvings = static_cast<int>(std::bit_width(nets.size() - 1));
  CHECK(plan.least_steps < static_cast<int>(largest) - 1 + halvings);
  // The plan shows first what shows outside; of all that could be read with the cavity open, a few readings show as much.
  const std::vector<Ohms> sizes(plan.faults.size(), 0);
  const Survey inside = survey(harness, plan.faults, sizes, plan.options,
                               settings_to_try(harness, std::nullopt), accesses(harness).back());
  std::vector<FaultSet> sets;
  // A contact that fails in one position only is no fault of a network of wires.
  FaultSet wires(plan.faults.size());
  for (std::size_t f = 0; f < plan.faults.size(); ++f) {
    if (!plan.faults[f].in) wires.add(f);
  }
  FaultSet all(plan.faults.size());
  for (std::size_t c = 0; c < inside.candidates.size(); ++c) {
    sets.emplace_back(inside.set(c), inside.words());
    all |= sets.back();
  }
  all &= wires;
  CHECK(static_cast<int>(smallest_cover(sets, all).least) < halvings + 1);
}

// Wires that nothing joins: here the counts of continuity tests hold. An open takes a reading a net, as each has two
// terminals (terminals - nets); a short a reading for each pair of neighbours, as shorts of several pairs don't show in one
// reading of two probes (all q (q - 1) / 2 pairs would be asked if any two nets could touch; from memory). It is no fewer than
// the p - 1 + ceil(log2 q) of any number of probes.
TEST_CASE("wires that nothing joins take a reading a net and a reading a pair of neighbours", "[plan]") {
  for (std::size_t q = 2; q <= 6; ++q) {
    std::string lugs, wires;
    for (std::size_t net = 0; net < q; ++net) {
      const std::string name(1, static_cast<char>('a' + net));
      lugs += (net == 0 ? "" : ", ") + name;
      wires += "  - [left." + name + ", right." + name + "]\n";
    }
    const Netlist netlist = netlist_from("parts:\n  left:  {kind: switch, lugs: [" + lugs +
                                         "], positions: {off: []}}\n  right: {kind: switch, lugs: [" + lugs +
                                         "], positions: {off: []}}\nwires:\n" + wires);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    INFO(q << " nets");
    CHECK(plan.unseen.empty());
    CHECK(plan.least_exact);
    CHECK(static_cast<std::size_t>(plan.least_steps) == q + (q - 1));
    CHECK(static_cast<std::size_t>(plan.least_steps) <= q + q * (q - 1) / 2);
    CHECK(static_cast<std::size_t>(plan.least_steps) >= 2 - 1 + std::bit_width(q - 1));
  }
}
