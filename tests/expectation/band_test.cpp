#include <algorithm>
#include <cmath>
#include <random>

#include "expectation/corner.h"
#include "expectation/expectation.h"
#include "handling/handling.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/draw.h"
#include "support/harness_from.h"
#include "support/loom.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

PointId at(const Harness& harness, const char* name) { return *harness.find_point(name); }

Setting random_setting(const Harness& harness, std::mt19937& random) {
  Setting setting(harness);
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    if (part.kind == PartKind::Pot) setting.turn(control, static_cast<double>(random() % 11));
    if (part.kind == PartKind::Switch) {
      setting.select(control, static_cast<std::uint16_t>(random() % part.positions.size()));
    }
  }
  return setting;
}

const char* const kOnePickup = R"(
name: Fernhollow 1
parts:
  single: {kind: pickup, dcr: 8k, tolerance: 10%}
  volume: {kind: pot, track: 500k, tolerance: 20%, taper: linear}
  jack:   {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
wires:
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)";

}  // namespace

// 8.0 kOhm with 500 kOhm across is 8000 x 500000 / 508000 = 7874.0 ohms (arithmetic; common practice has "a little
// below the coil's own"). The way there and back adds about a tenth of an ohm and the wiper's half ohm.
TEST_CASE("a pickup through the plug reads a little below its own resistance", "[expectation]") {
  const Harness harness = harness_from(kOnePickup);
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, false, {}, exactly(20)});
  const Expected expected = expect(circuit, at(harness, "jack.plug-tip"), at(harness, "jack.plug-sleeve"));
  CHECK_FALSE(expected.open);
  CHECK(expected.known);
  CHECK(expected.ohms.nominal > 7874.0);
  CHECK(expected.ohms.nominal < 7875.0);
  // All at their least: 7200 beside 400000, and nothing else.
  CHECK_THAT(expected.ohms.low, WithinRel(7200.0 * 400000 / 407200, 1e-9));
}

// Knob in the middle of a linear track: from the wiper, half the track to ground beside half the track and the coil:
// 250000 x 258000 / 508000 = 126968.5.
TEST_CASE("wiper to ground climbs to about a quarter of the track near mid-travel", "[expectation]") {
  const Harness harness = harness_from(kOnePickup);
  State state{Setting(harness), std::nullopt, true, {}, exactly(20)};
  state.setting.turn(*harness.find_part("volume"), 5);
  const Expected expected =
      expect(circuit_of(harness, state), at(harness, "volume.2"), at(harness, "volume.case"));
  CHECK_THAT(expected.ohms.nominal, WithinRel(126968.5, 1e-4));
  // Least: the wiper a tenth of the track nearer to a lug, track and coil at their least.
  const double near_ground = 160e3 * (240e3 + 7200) / (400e3 + 7200);
  const double near_coil = 240e3 * (160e3 + 7200) / (400e3 + 7200);
  CHECK_THAT(expected.ohms.low, WithinRel(std::min(near_ground, near_coil), 1e-9));
  // Most: the wiper where both sides are alike, within reach: half the loop each way.
  const double loop = 600e3 + 8800;
  CHECK_THAT(expected.ohms.high, WithinRel(loop / 4, 1e-3));
}

TEST_CASE("the coil's resistance follows the temperature at 0.393 % a degree", "[expectation]") {
  // IEC 60028: 0.00393 per degree at 20 degrees C.
  const Harness harness = harness_from(kOnePickup);
  const auto reading = [&](double celsius) {
    const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, exactly(celsius)});
    const Expected expected = expect(circuit, at(harness, "single.hot"), at(harness, "single.ground"));
    return 1 / (1 / expected.ohms.nominal - 1 / 500000.015);
  };
  CHECK_THAT(reading(35) / reading(20), WithinRel(1.05895, 1e-6));
}

TEST_CASE("no draw inside the tolerances leaves the band, and the band's ends are attained",
          "[expectation]") {
  std::mt19937 random(7);
  std::size_t draws = 0;
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const std::vector<PointId> points = reachable(harness, std::nullopt, 9);
    for (int pick = 0; pick < (kSlowBuild ? 4 : 25); ++pick) {
      State state;
      state.setting = random_setting(harness, random);
      state.cavity_open = random() % 2 == 0;
      if (random() % 2 == 0) state.temperature = exactly(15);
      const Circuit circuit = circuit_of(harness, state);
      if (!circuit.modules.empty()) continue;
      const PointId a = points[random() % points.size()];
      const PointId b = points[random() % points.size()];
      const Expected expected = expect(circuit, a, b);
      INFO(path << " " << harness[a].name << " " << harness[b].name);
      if (expected.open) {
        CHECK_FALSE(Network(circuit.points, draw(circuit, random)).connected(a.index, b.index));
        continue;
      }
      CHECK(expected.ohms.low <= expected.ohms.nominal * (1 + 1e-9));
      CHECK(expected.ohms.nominal <= expected.ohms.high * (1 + 1e-9));
      bool inside = true;
      for (int k = 0; k < 60; ++k) {
        const double ohms = *Network(circuit.points, draw(circuit, random)).resistance(a.index, b.index);
        inside = inside && ohms >= expected.ohms.low * (1 - 1e-9) && ohms <= expected.ohms.high * (1 + 1e-9);
        ++draws;
      }
      CHECK(inside);
      // The corners, with the wipers searched on a grid: the least is at a corner, the most may lie between.
      double least = HUGE_VAL;
      double most = 0;
      const std::size_t shafts = circuit.travels.size();
      if (shafts > 2) continue;
      const int places = shafts == 0 ? 1 : shafts == 1 ? 101 : 21;
      std::vector<double> travel(shafts, 0);
      const int all = shafts == 2 ? places * places : places;
      for (int g = 0; g < all; ++g) {
        for (std::size_t s = 0; s < shafts; ++s) {
          travel[s] = static_cast<double>(s == 0 ? g % places : g / places) / (places - 1);
        }
        const Network low(circuit.points, resistors_at(circuit, Corner::Low, &travel));
        const Network high(circuit.points, resistors_at(circuit, Corner::High, &travel));
        least = std::min(least, *low.resistance(a.index, b.index));
        most = std::max(most, *high.resistance(a.index, b.index));
      }
      CHECK(std::abs(expected.ohms.low - least) <= 1e-9 * least);
      CHECK(most <= expected.ohms.high * (1 + 1e-9));
      if (shafts == 0) CHECK(std::abs(expected.ohms.high - most) <= 1e-9 * most);
      if (shafts == 1) CHECK(most >= expected.ohms.high * (1 - 2e-3));
    }
  }
  CHECK(draws > (kSlowBuild ? 500U : 10000U));
}

TEST_CASE("the shares of a reading add up to one and its parts to the reading", "[expectation]") {
  std::mt19937 random(3);
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const std::vector<PointId> points = reachable(harness, std::nullopt, 9);
    for (int pick = 0; pick < 30; ++pick) {
      const Circuit circuit =
          circuit_of(harness, {random_setting(harness, random), std::nullopt, true, {}, {}});
      const PointId a = points[random() % points.size()];
      const PointId b = points[random() % points.size()];
      const Expected expected = expect(circuit, a, b);
      if (expected.open || expected.unlimited || expected.ohms.nominal == 0) continue;
      double shares = 0;
      double ohms = 0;
      for (const Contribution& part : expected.through) {
        shares += part.share;
        ohms += part.ohms;
      }
      CHECK_THAT(shares, WithinRel(1.0, 1e-9));
      CHECK_THAT(ohms, WithinRel(expected.ohms.nominal, 1e-9));
    }
  }
}

TEST_CASE("beside a module a reading has no lower limit but that of the module's points joined",
          "[expectation]") {
  const Harness harness = harness_from(R"(
parts:
  r1: {kind: resistor, value: 1k, tolerance: 0%}
  box: {kind: module, points: [in, out]}
joints:
  - [box.in, r1.1]
  - [box.out, r1.2]
)");
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  const Expected beside = expect(circuit, at(harness, "r1.1"), at(harness, "r1.2"));
  CHECK_FALSE(beside.known);
  CHECK(beside.ohms.low == 0);
  CHECK_THAT(beside.ohms.high, WithinRel(1000.0, 1e-9));
}

// Physics: the two halves of a track in series are the track, wherever the wiper stands.
TEST_CASE("a taper nobody gave leaves a track read end to end known, and unknown from the wiper",
          "[expectation]") {
  const Harness harness = harness_from("parts: {volume: {kind: pot, track: 250k, normal: 5}}");
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, false, {}, exactly(20)});
  const Expected whole = expect(circuit, at(harness, "volume.1"), at(harness, "volume.3"));
  CHECK(whole.known);
  CHECK_THAT(whole.ohms.nominal, WithinRel(250e3, 1e-9));
  CHECK_FALSE(expect(circuit, at(harness, "volume.1"), at(harness, "volume.2")).known);
}

// A module from lug 1 to lug 3 may be anything from a plain wire to nothing. With the wiper perhaps at lug 3 the least
// is nought with the module and without, and the reading is still not known.
TEST_CASE("a module makes a reading unknown even where the least is nought without it", "[expectation]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k, taper: linear, normal: 9}
  preamp: {kind: module, points: [in, ground]}
wires:
  - [volume.3, preamp.in]
  - [volume.1, preamp.ground]
)");
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, false, {}, exactly(20)});
  const Expected expected = expect(circuit, at(harness, "volume.2"), at(harness, "volume.3"));
  CHECK(expected.ohms.low == 0);
  CHECK_FALSE(expected.known);
}

// A hundred shafts in mid-travel: too many corners to try, so the band may be wider than need be, never narrower.
TEST_CASE("in a loom of thousands of wires no draw leaves the band", "[expectation]") {
  const int wires = kSlowBuild ? 1000 : 5000;
  const Harness harness = harness_from(loom(wires));
  std::mt19937 random(5);
  Setting setting(harness);
  for (PartId control : harness.controls()) {
    if (harness[control].pot) setting.turn(control, 1 + static_cast<double>(random() % 9));
  }
  const Circuit circuit = circuit_of(harness, {setting, std::nullopt, true, {}, exactly(20)});
  REQUIRE(circuit.travels.size() == static_cast<std::size_t>(wires / 50));
  const PointId a = at(harness, "jack.plug-tip");
  for (const PointId b : {at(harness, "jack.plug-sleeve"), *harness.find_point(farthest(wires))}) {
    const Expected expected = expect(circuit, a, b);
    for (int draw = 0; draw < 30; ++draw) {
      std::vector<double> travel(circuit.travels.size());
      for (double& t : travel) t = static_cast<double>(random() % 11) / 10;
      std::vector<Resistor> resistors = resistors_at(circuit, Corner::Low, &travel);
      const std::vector<Resistor> most = resistors_at(circuit, Corner::High, &travel);
      for (std::size_t i = 0; i < resistors.size(); ++i) {
        if (random() % 2) resistors[i].ohms = most[i].ohms;
      }
      const Ohms drawn = *network_at(circuit, resistors).resistance(a.index, b.index);
      CHECK(drawn >= expected.ohms.low * (1 - 1e-9));
      CHECK(drawn <= expected.ohms.high * (1 + 1e-9));
    }
  }
}
