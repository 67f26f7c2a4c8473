#include "circuit/circuit.h"

#include <algorithm>
#include <stdexcept>

#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;

namespace {

bool conducts(const Harness& harness, const Circuit& circuit, const char* a, const char* b) {
  return std::any_of(circuit.branches.begin(), circuit.branches.end(), [&](const Branch& branch) {
    const auto& points = harness[branch.element].points;
    return points.size() == 2 && harness[points[0]].name == a && harness[points[1]].name == b;
  });
}

Circuit circuit_in(const Harness& harness, const Setting& setting) {
  return circuit_of(harness, {setting, std::nullopt, true, {}, {}});
}

Pot pot_with(Taper taper, std::vector<double> shares = {}) {
  Pot pot;
  pot.taper = taper;
  pot.shares = std::move(shares);
  return pot;
}

}  // namespace

TEST_CASE("tapers leave a half, fifteen or eighty-five percent at the middle, give or take a tenth",
          "[circuit]") {
  // Common practice, no source.
  CHECK_THAT(wiper_share(pot_with(Taper::Linear), 5).nominal, WithinAbs(0.5, 1e-12));
  const WiperShare audio = wiper_share(pot_with(Taper::Audio), 5);
  CHECK_THAT(audio.nominal, WithinAbs(0.15, 1e-12));
  CHECK_THAT(audio.low, WithinAbs(0.05, 1e-12));
  CHECK_THAT(audio.high, WithinAbs(0.25, 1e-12));
  CHECK_THAT(wiper_share(pot_with(Taper::ReverseAudio), 5).nominal, WithinAbs(0.85, 1e-12));
  const WiperShare unknown = wiper_share(pot_with(Taper::Unknown), 5);
  CHECK(unknown.low == 0);
  CHECK(unknown.high == 1);
}

TEST_CASE("at the stops the wiper is at its lug whatever the taper", "[circuit]") {
  for (Taper taper : {Taper::Unknown, Taper::Linear, Taper::Audio, Taper::ReverseAudio}) {
    CHECK(wiper_share(pot_with(taper), 0).at_stop());
    CHECK(wiper_share(pot_with(taper), 0).nominal == 0);
    CHECK(wiper_share(pot_with(taper), 10).nominal == 1);
  }
}

TEST_CASE("a listed taper is read between its places", "[circuit]") {
  const Pot blend = pot_with(Taper::Listed, {0, 1, 1});
  CHECK_THAT(wiper_share(blend, 2.5).nominal, WithinAbs(0.5, 1e-12));
  CHECK_THAT(wiper_share(blend, 7.5).nominal, WithinAbs(1.0, 1e-12));
}

TEST_CASE("the wiper of a no-load pot leaves the track at ten", "[circuit]") {
  const Harness harness = harness_from("parts:\n  tone: {kind: pot, track: 250k, no-load: true}\n");
  Setting setting(harness);
  CHECK(circuit_in(harness, setting).branches.size() == 1);
  setting.turn(*harness.find_part("tone"), 9);
  CHECK(circuit_in(harness, setting).branches.size() == 3);
}

TEST_CASE("a switch closes the contacts of its position and no other", "[circuit]") {
  const Harness harness = harness_from(R"(
parts:
  selector:
    kind: switch
    lugs: [f, r, out]
    positions:
      rear:  [[r, out]]
      both:  [[f, r, out]]
      front: [[f, out]]
)");
  Setting setting(harness);
  const PartId selector = *harness.find_part("selector");
  CHECK(conducts(harness, circuit_in(harness, setting), "selector.r", "selector.out"));
  CHECK_FALSE(conducts(harness, circuit_in(harness, setting), "selector.f", "selector.out"));
  setting.select(selector, 1);
  CHECK(circuit_in(harness, setting).branches.size() == 2);
  setting.select(selector, 2);
  CHECK(conducts(harness, circuit_in(harness, setting), "selector.f", "selector.out"));
  CHECK(circuit_in(harness, setting).branches.size() == 1);
}

TEST_CASE("a plug meets tip and sleeve, and a ring meets its sleeve; without it contacts meet their rests",
          "[circuit]") {
  const Harness harness =
      harness_from("parts:\n  jack: {kind: jack, contacts: [tip, ring, sleeve], rests: {tip: tip-rest}}\n");
  Setting setting(harness);
  const Circuit in = circuit_in(harness, setting);
  CHECK(conducts(harness, in, "jack.tip", "jack.plug-tip"));
  CHECK(conducts(harness, in, "jack.ring", "jack.plug-sleeve"));
  CHECK(conducts(harness, in, "jack.sleeve", "jack.plug-sleeve"));
  CHECK_FALSE(conducts(harness, in, "jack.tip", "jack.tip-rest"));
  setting.pull_plug(*harness.find_part("jack"));
  const Circuit out = circuit_in(harness, setting);
  CHECK(conducts(harness, out, "jack.tip", "jack.tip-rest"));
  CHECK(out.branches.size() == 1);
  CHECK_FALSE(out.has(*harness.find_point("jack.plug-tip")));
}

namespace {

const char* const kStaged = R"(
parts:
  volume: {kind: pot, track: 250k}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
  rear: {kind: pickup, dcr: 7k}
joints:
  - [volume.case, rear.ground, volume.1]
  - [volume.3, rear.hot]
wires:
  - [volume.case, hardware.bridge]
  - [volume.case, jack.sleeve]
touches:
  - {points: [volume.case, jack.sleeve], closed: true}
stages:
  bench: {without: [hardware, rear]}
)";

}  // namespace

TEST_CASE("at a stage a leg to a missing part stays and its joint there goes", "[circuit]") {
  const Harness harness = harness_from(kStaged);
  const Circuit bench = circuit_of(harness, {Setting(harness), 0, true, {}, {}});
  CHECK(conducts(harness, bench, "volume.case", "hardware.bridge"));
  CHECK(bench.has(*harness.find_point("hardware.bridge>volume.case")));
  CHECK_FALSE(bench.has(*harness.find_point("hardware.bridge")));
  CHECK_FALSE(conducts(harness, bench, "hardware.bridge", "hardware.bridge>volume.case"));
  CHECK_FALSE(conducts(harness, bench, "volume.case", "rear.ground"));
  CHECK(conducts(harness, bench, "volume.case", "volume.1"));
}

TEST_CASE("a touch that holds only while the cavity is closed opens with it", "[circuit]") {
  const Harness harness = harness_from(kStaged);
  const auto touches = [&](bool open) {
    const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, open, {}, {}});
    return std::count_if(circuit.branches.begin(), circuit.branches.end(), [&](const Branch& branch) {
      return harness[branch.element].when == Conducts::CavityClosed;
    });
  };
  CHECK(touches(false) == 1);
  CHECK(touches(true) == 0);
}

TEST_CASE("a lifted lead takes its joint away and nothing else", "[circuit]") {
  const Harness harness = harness_from(kStaged);
  const PointId lead = *harness.find_point("rear.ground");
  const Circuit whole = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  const Circuit lifted = circuit_of(harness, {Setting(harness), std::nullopt, true, {lead}, {}});
  CHECK(whole.branches.size() == lifted.branches.size() + 1);
  CHECK_FALSE(conducts(harness, lifted, "volume.case", "rear.ground"));
}

TEST_CASE("lifting the first lead of a splice parts it from the others", "[circuit]") {
  const Harness harness = harness_from(R"(
parts:
  front: {kind: pickup, dcr: 6k}
  rear: {kind: pickup, dcr: 7k}
joints:
  - [front.hot, rear.hot]
)");
  const PointId lead = *harness.find_point("front.hot");
  const Circuit lifted = circuit_of(harness, {Setting(harness), std::nullopt, true, {lead}, {}});
  CHECK_FALSE(conducts(harness, lifted, "front.hot", "rear.hot"));
}

TEST_CASE("a setting made for no harness, or for another, is a broken promise and not a crash", "[circuit]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k}
  jack: {kind: jack}
wires:
  - [volume.2, jack.tip]
)");
  CHECK_THROWS_AS(circuit_of(harness, State{}), std::logic_error);
  State state;
  state.setting = Setting(harness);
  CHECK_NOTHROW(circuit_of(harness, state));
}
