// What makes a reading uncertain, and which part is worth measuring alone.
#include "expectation/narrowing.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

#include "expectation/corner.h"
#include "expectation/expectation.h"
#include "handling/handling.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Ohms width(const Expected& expected) { return expected.ohms.high - expected.ohms.low; }

Ohms spread_of(const Expected& expected, const Harness& harness, ElementKind kind) {
  Ohms sum = 0;
  for (const Contribution& part : expected.through) {
    if (harness[part.element].kind == kind) sum += part.spread;
  }
  return sum;
}

// Two coils in a row, a resistor across the second.
const char* const kRow = R"(
parts:
  a: {kind: pickup, dcr: 6k, tolerance: 10%}
  b: {kind: pickup, dcr: 4k, tolerance: 20%}
  r: {kind: resistor, value: 4k, tolerance: 5%}
joints:
  - [a.ground, b.hot, r.1]
  - [b.ground, r.2]
defaults: {joint: 0, wire: 0, contact: 0}
)";

// Every setting of every switch with the pots at a stop or in the middle, by counting through them.
std::vector<Setting> all_settings(const Harness& harness) {
  std::vector<Setting> settings{Setting(harness)};
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    std::vector<Setting> more;
    for (const Setting& before : settings) {
      if (part.kind == PartKind::Switch) {
        for (std::size_t place = 0; place < part.positions.size(); ++place) {
          more.push_back(before);
          more.back().select(control, static_cast<std::uint16_t>(place));
        }
      } else if (part.kind == PartKind::Pot) {
        for (double knob : {0.0, 5.0, 10.0}) {
          more.push_back(before);
          more.back().turn(control, knob);
        }
      } else {
        more.push_back(before);
      }
    }
    settings = std::move(more);
  }
  return settings;
}

}  // namespace

// By hand. 4k beside 4k is 2k, and half the current goes each way: a quarter of what either moves is seen.
// a: 600; b: 800 / 4 = 200; r: 200 / 4 = 50.
TEST_CASE("a part's spread is half its own width times its current squared", "[expectation]") {
  const Harness harness = harness_from(kRow);
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, exactly(20)});
  const Expected expected = expect(circuit, *harness.find_point("a.hot"), *harness.find_point("b.ground"));
  CHECK_THAT(expected.ohms.nominal, WithinRel(8000.0, 1e-9));
  REQUIRE(expected.through.size() == 3);
  std::map<std::string, Ohms> spread;
  for (const Contribution& part : expected.through)
    spread[harness[*harness[part.element].part].name] = part.spread;
  CHECK_THAT(spread["a"], WithinRel(600.0, 1e-9));
  CHECK_THAT(spread["b"], WithinRel(200.0, 1e-9));
  CHECK_THAT(spread["r"], WithinRel(50.0, 1e-9));
  CHECK(expected.spread.temperature == 0);
  CHECK_THAT(expected.in_coils, WithinRel(7000.0, 1e-9));  // 6000 + 4000 / 4
}

// By hand: from 10 to 35 degrees C copper moves by 25 x 0.393 %, half of it 4.9125 % of the 7000 ohms that are coils.
TEST_CASE("the temperature of all coils is one source, apart from their tolerances", "[expectation]") {
  const Harness harness = harness_from(kRow);
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  const Expected expected = expect(circuit, *harness.find_point("a.hot"), *harness.find_point("b.ground"));
  CHECK_THAT(expected.spread.temperature, WithinRel(7000 * 0.049125, 1e-9));
  // The tolerances are those at 20 degrees C, as if the temperature were known.
  CHECK_THAT(spread_of(expected, harness, ElementKind::Coil), WithinRel(800.0, 1e-9));
}

// By hand: a is 600 of the way up and 600 down; without it the rest is what b and r allow beside each other.
// high: 4800 x 4200 / 9000 = 2240; low: 3200 x 3800 / 7000 = 1737.142857.
TEST_CASE("the part to measure leaves the narrowest limits, found anew", "[expectation]") {
  const Harness harness = harness_from(kRow);
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, exactly(20)});
  const PointId a = *harness.find_point("a.hot");
  const PointId b = *harness.find_point("b.ground");
  const Expected expected = expect(circuit, a, b);
  const auto parts = measured_alone(harness);
  CHECK(parts.size() == 3);
  const auto best = best_to_measure(circuit, a, b, expected, parts, 10);
  REQUIRE(best);
  REQUIRE(best->part.size() == 1);
  CHECK(harness[*harness[best->part[0]].part].name == "a");
  CHECK_THAT(best->expected.ohms.low, WithinRel(6000 + 3200.0 * 3800 / 7000, 1e-9));
  CHECK_THAT(best->expected.ohms.high, WithinRel(6000 + 4800.0 * 4200 / 9000, 1e-9));

  // No finer than the meter resolves, or than it gains: nothing to say. The gain is 1200 ohms.
  CHECK(best_to_measure(circuit, a, b, expected, parts, 1199));
  CHECK_FALSE(best_to_measure(circuit, a, b, expected, parts, 1201));
  CHECK_FALSE(best_to_measure(circuit, a, b, expected, parts, 1e6));
  CHECK_FALSE(best_to_measure(circuit, a, b, expected, {}, 10));
}

TEST_CASE("a reading that is one part and nothing else names none", "[expectation]") {
  const Harness harness = harness_from(kRow);
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  const PointId a = *harness.find_point("a.hot");
  const PointId b = *harness.find_point("a.ground");
  CHECK_FALSE(best_to_measure(circuit, a, b, expect(circuit, a, b), measured_alone(harness), 1));
}

TEST_CASE("coils that end inside their pickup are measured together, and hidden ones not at all",
          "[expectation]") {
  const Harness harness = harness_from(R"(
parts:
  twin: {kind: pickup, coils: {slug: 4k, screw: 4k}, leads: {red: slug-start, bare: screw-start}, inside: [[slug-finish, screw-finish]]}
  split: {kind: pickup, coils: {slug: 4k, screw: 4k}}
  far: {kind: pickup, dcr: 6k, reach: hidden}
  volume: {kind: pot, track: 250k}
)");
  std::vector<std::string> found;
  for (const auto& part : measured_alone(harness)) {
    found.push_back(std::to_string(part.size()) + " " + harness[*harness[part[0]].part].name);
  }
  std::sort(found.begin(), found.end());
  CHECK(found == std::vector<std::string>{"1 split", "1 split", "1 volume", "2 twin"});
}

// The slope, by moving each element a little and solving anew; nothing of the flow is used.
TEST_CASE("spreads are those of solving anew with each element moved", "[expectation]") {
  std::mt19937 random(5);
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const std::vector<PointId> points = reachable(harness, std::nullopt, 9);
    const std::vector<Setting> settings = all_settings(harness);
    for (int pick = 0; pick < (kSlowBuild ? 2 : 8); ++pick) {
      const State state{settings[random() % settings.size()], std::nullopt, true, {}, exactly(20)};
      const Circuit circuit = circuit_of(harness, state);
      const PointId a = points[random() % points.size()];
      const PointId b = points[random() % points.size()];
      const Expected expected = expect(circuit, a, b);
      if (expected.open || expected.unlimited || expected.ohms.nominal == 0) continue;
      INFO(path << " " << harness[a].name << " " << harness[b].name);
      const std::vector<Resistor> nominal = resistors_at(circuit, Corner::Nominal);
      for (const Contribution& part : expected.through) {
        constexpr double kLittle = 1e-5;
        const auto moved = [&](double by) {
          std::vector<Resistor> resistors = nominal;
          for (std::size_t i = 0; i < resistors.size(); ++i) {
            const Branch& branch = circuit.branches[i];
            if (branch.element == part.element)
              resistors[i].ohms += by * (branch.ohms.high - branch.ohms.low) / 2 * branch.at_nominal;
          }
          return *Network(circuit.points, resistors).resistance(a.index, b.index);
        };
        const Ohms slope = (moved(kLittle) - moved(-kLittle)) / (2 * kLittle);
        CHECK_THAT(part.spread, WithinRel(slope, 1e-4) || WithinAbs(slope, 1e-6 * expected.ohms.nominal));
      }
    }
  }
}

// By brute force: every part alone that could be named, on every worked harness, at the plug, in every setting
// with the pots at a stop or in the middle.
TEST_CASE("knowing a part never widens a reading, and the one named narrows it most", "[expectation]") {
  std::size_t named = 0;
  std::size_t silent = 0;
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const PointId a = *harness.find_point("jack.plug-tip");
    const PointId b = *harness.find_point("jack.plug-sleeve");
    const auto parts = measured_alone(harness);
    std::vector<Setting> settings = all_settings(harness);
    std::mt19937 random(17);
    std::shuffle(settings.begin(), settings.end(), random);
    if (kSlowBuild && settings.size() > 6) settings.resize(6);
    for (const Setting& setting : settings) {
      const Circuit circuit = circuit_of(harness, {setting, std::nullopt, false, {}, {}});
      const Expected expected = expect(circuit, a, b);
      INFO(path);
      if (expected.open || expected.unlimited) {
        CHECK_FALSE(best_to_measure(circuit, a, b, expected, parts, 0));
        continue;
      }
      Ohms narrowest = width(expected);
      bool alone = false;
      for (const std::vector<ElementId>& part : parts) {
        Circuit known = circuit;
        for (Branch& branch : known.branches) {
          if (std::find(part.begin(), part.end(), branch.element) == part.end()) continue;
          branch.ohms.low = branch.ohms.high = branch.ohms.nominal;
        }
        const Expected narrowed = expect(known, a, b);
        CHECK_THAT(narrowed.ohms.nominal, WithinRel(expected.ohms.nominal, 1e-12));
        CHECK(narrowed.ohms.low >= expected.ohms.low * (1 - 1e-9));
        CHECK(narrowed.ohms.high <= expected.ohms.high * (1 + 1e-9));
        narrowest = std::min(narrowest, width(narrowed));
        double share = 0;
        for (const Contribution& each : expected.through) {
          if (std::find(part.begin(), part.end(), each.element) != part.end()) share += each.share;
        }
        alone = alone || share >= 0.999;
      }
      const Ohms resolves = 1;
      const auto best = best_to_measure(circuit, a, b, expected, parts, resolves);
      const bool worth = !alone && width(expected) > resolves && width(expected) - narrowest >= resolves;
      CHECK(best.has_value() == worth);
      best ? ++named : ++silent;
      if (best) CHECK_THAT(width(best->expected), WithinRel(narrowest, 1e-6));
    }
  }
  CHECK(named > 40);
  CHECK(silent > 10);
}

// By hand: 250k linear, wiper in the middle give or take a tenth: from the wiper to lug 1 it is 125k, 100k to 150k.
TEST_CASE("a wiper's place counts by what its limits do", "[expectation]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k, taper: linear, normal: 5}
)");
  const Circuit circuit = circuit_of(harness, {Setting(harness), std::nullopt, true, {}, {}});
  const PointId lug1 = *harness.find_point("volume.1");
  const PointId lug2 = *harness.find_point("volume.2");
  const PointId lug3 = *harness.find_point("volume.3");
  Expected expected = expect(circuit, lug1, lug2);
  REQUIRE(expected.spread.places.size() == 1);
  CHECK_THAT(expected.spread.places[0].ohms, WithinRel(25e3, 1e-9));  // straight: the slope is enough
  follow_wipers(circuit, lug1, lug2, expected);
  REQUIRE(expected.spread.places.size() == 1);
  CHECK(harness[expected.spread.places[0].control].name == "volume");
  CHECK_THAT(expected.spread.places[0].ohms, WithinRel(25e3, 1e-9));
  Expected whole = expect(circuit, lug1, lug3);
  follow_wipers(circuit, lug1, lug3, whole);
  CHECK(whole.spread.places.empty());  // end to end the place is no matter

  // Wiper to both ends joined: 62.5k at the top of a hump, so no slope, but 60k at both limits.
  const Harness hump = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k, taper: linear, normal: 5}
wires:
  - [volume.1, volume.3]
defaults: {joint: 0, wire: 0, end: 0%}
)");
  const Circuit bent = circuit_of(hump, {Setting(hump), std::nullopt, true, {}, {}});
  const PointId one = *hump.find_point("volume.1");
  const PointId two = *hump.find_point("volume.2");
  Expected top = expect(bent, one, two);
  follow_wipers(bent, one, two, top);
  REQUIRE(top.spread.places.size() == 1);
  CHECK_THAT(top.spread.places[0].ohms, WithinRel(1250.0, 1e-6));
}

// Oracle: a second circuit built at 20 degrees C.
TEST_CASE("a reading at 20 degrees is that of the circuit at 20 degrees", "[expectation]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const PointId a = *harness.find_point("jack.plug-tip");
    const PointId b = *harness.find_point("jack.plug-sleeve");
    for (double celsius : {-5.0, 20.0, 31.0}) {
      const Circuit warm = circuit_of(harness, {Setting(harness), std::nullopt, false, {}, exactly(celsius)});
      const Circuit cool = circuit_of(harness, {Setting(harness), std::nullopt, false, {}, exactly(20)});
      const auto ohms = nominal_at_20(warm, a, b);
      const Expected expected = expect(cool, a, b);
      REQUIRE(ohms.has_value() == !expected.open);
      if (ohms) CHECK_THAT(*ohms, WithinRel(expected.ohms.nominal, 1e-12));
    }
  }
}
