// Every entry of the fault dictionary against the whole faulty network, solved again by itself.
#include "dictionary/dictionary.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <sstream>
#include <string>

#include "expectation/corner.h"
#include "handling/handling.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/loom.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

constexpr Corner kCorners[] = {Corner::Low, Corner::Nominal, Corner::High};

std::vector<std::uint32_t> numbers(const std::vector<PointId>& points) {
  std::vector<std::uint32_t> list;
  for (PointId point : points) list.push_back(point.index);
  return list;
}

// The oracle: the faulty circuit as a network of its own, at each corner; joints of nothing as little as in the dictionary,
// or as nothing at all.
struct Whole {
  std::vector<std::optional<double>> ohms[3];

  Whole(const Circuit& faulty, const std::vector<PointId>& points, bool nothing) {
    for (std::size_t c = 0; c < 3; ++c) {
      std::vector<Resistor> resistors = loose_resistors_at(faulty, kCorners[c]);
      if (!nothing) {
        for (Resistor& each : resistors) each.ohms = std::max(each.ohms, kLeastOhms);
        for (const std::vector<PointId>& module : faulty.modules) {
          for (std::size_t i = 1; c == 0 && i < module.size(); ++i)
            resistors.push_back({module[0].index, module[i].index, kLeastOhms});
        }
      }
      ohms[c] = network_at(faulty, std::move(resistors), nothing && c == 0 ? Modules::Joined : Modules::Apart)
                    .all_pairs(numbers(points));
    }
  }
};

std::vector<double> sizes_of(const Fault& fault) {
  if (fault.mode == Mode::High) return {20, 1e6};
  if (fault.mode == Mode::Value) return {0.5};
  return {0};
}

// How far two readings are apart, as a share of the larger; 0 if both are open or they are within `floor` ohms, infinite if
// one is open.
double apart(const std::optional<double>& x, const std::optional<double>& y, double floor) {
  if (!x && !y) return 0;
  if (!x || !y) return HUGE_VAL;
  const double difference = std::abs(*x - *y);
  return difference <= floor ? 0 : difference / std::max(std::abs(*x), std::abs(*y));
}

struct Worst {
  double same = 0;     // against the same floor of ohms
  double nothing = 0;  // against joints of no ohms at their lowest
  std::size_t entries = 0;
  std::size_t wrongly_unchanged = 0;
  std::string where;
};

void compare(const Harness& harness, const Circuit& circuit, const std::vector<PointId>& probes,
             const std::vector<Fault>& faults, Worst& worst, std::size_t each_nth, std::mt19937& random,
             bool singles) {
  const Chapter chapter(circuit, probes);
  const std::size_t n = probes.size();
  const Whole sound(circuit, probes, false);
  for (const Fault& fault : faults) {
    if (each_nth > 1 && random() % each_nth != 0) continue;
    for (double size : sizes_of(fault)) {
      const Circuit faulty = with_fault(circuit, fault, size);
      const Whole whole(faulty, probes, false);
      const Whole none(faulty, probes, true);
      const Page page = chapter.page(fault, size);
      for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = i + 1; j < n; ++j) {
          const Found entry = page(i, j);
          const std::optional<Ohms> corners[3] = {entry.low, entry.nominal, entry.high};
          ++worst.entries;
          for (std::size_t c = 0; c < 3; ++c) {
            const double off = apart(corners[c], whole.ohms[c][i * n + j], 0);
            if (off > worst.same) {
              worst.same = off;
              worst.where = in_words(harness, fault) + ", " + harness[probes[i]].name + " to " +
                            harness[probes[j]].name;
            }
            worst.nothing = std::max(worst.nothing, apart(corners[c], none.ohms[c][i * n + j], 1e-6));
            if (!page.changes(i, j) && apart(whole.ohms[c][i * n + j], sound.ohms[c][i * n + j], 0) > 1e-9)
              ++worst.wrongly_unchanged;
          }
        }
      }
      if (!singles) continue;
      for (int k = 0; k < 8; ++k) {
        const std::size_t i = random() % n, j = random() % n;
        if (i == j) continue;
        const Found one = chapter.with(fault, size, probes[i], probes[j]);
        const std::optional<Ohms> corners[3] = {one.low, one.nominal, one.high};
        for (std::size_t c = 0; c < 3; ++c)
          worst.same = std::max(worst.same, apart(corners[c], whole.ohms[c][i * n + j], 0));
        if (!chapter.touches(fault, probes[i], probes[j]) && !(one == chapter.sound(probes[i], probes[j])))
          ++worst.wrongly_unchanged;
      }
    }
  }
}

// One harness: all its settings and faults, or every nth of both.
Worst check_harness(const Harness& harness, std::optional<std::size_t> stage, std::size_t every_setting,
                    std::size_t every_fault) {
  std::mt19937 random(7);
  Worst worst;
  const std::vector<Fault> faults = faults_at(harness, stage);
  std::size_t count = 0;
  std::vector<Setting> settings = settings_to_try(harness, stage);
  // And one with all wipers between their stops.
  Setting middle(harness);
  for (PartId control : harness.controls()) {
    if (harness[control].kind == PartKind::Pot) middle.turn(control, 5);
  }
  settings.insert(settings.begin(), middle);
  for (const Setting& setting : settings) {
    if (count++ % every_setting != 0) continue;
    const Circuit circuit = circuit_of(harness, {setting, stage, true, {}, {}});
    std::vector<PointId> probes;
    for (PointId point : reachable(harness, stage, accesses(harness, stage).back().depth)) {
      if (circuit.has(point)) probes.push_back(point);
    }
    compare(harness, circuit, probes, faults, worst, every_fault, random, true);
  }
  INFO(worst.where << "; " << worst.entries << " entries");
  CHECK(worst.entries > 0);
  CHECK(worst.same < 1e-9);
  CHECK(worst.nothing < 1e-9);
  CHECK(worst.wrongly_unchanged == 0);
  return worst;
}

}  // namespace

TEST_CASE("an entry is the reading of the whole faulty network, on every worked harness", "[dictionary]") {
  for (const std::string& path : worked_harnesses()) {
    INFO(path);
    const Harness harness = worked_harness(path).harness;
    const bool large = harness.elements().size() > 60;
    check_harness(harness, std::nullopt, large ? 37 : 7, large ? 7 : 3);
    for (std::size_t stage = 0; stage < harness.stages().size(); ++stage)
      check_harness(harness, stage, 61, large ? 7 : 3);
  }
}

// Every setting, every fault, every pair of every worked harness: minutes. tests/run --bench runs it.
TEST_CASE("an entry is the reading of the whole faulty network, every one of them", "[.][every]") {
  Worst all;
  const auto add = [&](const Worst& one) {
    all.entries += one.entries;
    all.same = std::max(all.same, one.same);
    all.nothing = std::max(all.nothing, one.nothing);
  };
  for (const std::string& path : worked_harnesses()) {
    INFO(path);
    const Harness harness = worked_harness(path).harness;
    add(check_harness(harness, std::nullopt, 1, 1));
    for (std::size_t stage = 0; stage < harness.stages().size(); ++stage)
      add(check_harness(harness, stage, 1, 1));
  }
  std::ostringstream said;
  said << all.entries
       << " entries, each at its lowest, nominal and highest; furthest apart, as a share: " << all.same
       << " from joints of as little, " << all.nothing
       << " from joints of nothing, beyond a millionth of an ohm";
  WARN(said.str());
}

TEST_CASE("an entry is that of the whole network on random networks too", "[dictionary]") {
  std::mt19937 random(11);
  const auto upto = [&](std::size_t n) { return static_cast<std::uint32_t>(random() % n); };
  for (int round = 0; round < 60; ++round) {
    // Resistors of all sizes between a few points; some points apart, some parallel.
    const std::uint32_t points = 3 + upto(12);
    std::string text = "parts:\n";
    for (std::uint32_t p = 0; p < points; ++p)
      text += "  p" + std::to_string(p) + ": {kind: metal, points: [x]}\n";
    std::string joints = "wires:\n";
    const std::uint32_t parts = 2 + upto(2 * points);
    for (std::uint32_t r = 0; r < parts; ++r) {
      static const char* const kValues[] = {"1", "47", "6.8k", "250k", "1M"};
      const std::string name = "r" + std::to_string(r);
      text += "  " + name + ": {kind: resistor, value: " + kValues[upto(5)] + "}\n";
      joints += "  - {name: a" + name + ", run: [p" + std::to_string(upto(points)) + ".x, " + name + ".1]}\n";
      joints += "  - {name: b" + name + ", run: [p" + std::to_string(upto(points)) + ".x, " + name + ".2]}\n";
    }
    const Harness harness = harness_from(text + joints);
    const Circuit circuit = circuit_of(harness, {Setting(harness), {}, true, {}, {}});
    std::vector<PointId> probes;
    for (std::uint32_t p = 0; p < harness.points().size(); ++p) {
      if (harness.points()[p].role == PointRole::Surface || random() % 4 == 0) probes.push_back(PointId{p});
    }
    // Shorts between any two points come on top of those that the harness invites.
    std::vector<Fault> faults = faults_of(harness);
    for (int k = 0; k < 10; ++k) {
      Fault fault;
      fault.mode = Mode::Short;
      fault.site = Site::Lugs;
      fault.a = PointId{upto(harness.points().size())};
      fault.b = PointId{upto(harness.points().size())};
      if (fault.a == fault.b) continue;
      fault.points = {fault.a, fault.b};
      faults.push_back(fault);
    }
    Worst worst;
    compare(harness, circuit, probes, faults, worst, 3, random, true);
    INFO("round " << round << ": " << worst.where);
    REQUIRE(worst.same < 1e-9);
    REQUIRE(worst.nothing < 1e-9);
    REQUIRE(worst.wrongly_unchanged == 0);
  }
}

TEST_CASE("an open at a cut is open between its sides and nothing else changes", "[dictionary]") {
  const Harness harness = harness_from(R"(
parts:
  front: {kind: pickup, dcr: 6k}
  jack: {kind: jack}
wires:
  - [front.hot, jack.tip]
  - [front.ground, jack.sleeve]
)");
  const auto at = [&](const char* name) { return *harness.find_point(name); };
  const std::vector<PointId> probes{at("front.hot"), at("jack.tip"), at("front.ground")};
  const Chapter chapter(circuit_of(harness, {Setting(harness), {}, true, {}, {}}), probes);
  for (const Fault& fault : faults_of(harness)) {
    if (in_words(harness, fault) != "the wire from front.hot to jack.tip is open") continue;
    const Page page = chapter.page(fault, 0);
    CHECK(page.changes());
    CHECK(page(0, 1).open());
    CHECK_FALSE(page.changes(0, 2));
    CHECK_THAT(page(0, 2).nominal.value(), WithinRel(6000, 1e-9));
    CHECK(chapter.with(fault, 0, probes[0], probes[1]).open());
    CHECK(chapter.with(fault, 0, probes[0], probes[2]) == page(0, 2));
  }
}

TEST_CASE("a cold joint in a megohm loop keeps its digits", "[dictionary]") {
  // A ring of a joint, 1 megohm and wires: added ohms at the joint show across it, less what the detour takes.
  const Harness harness = harness_from(R"(
defaults: {wire: 0.1}
parts:
  big: {kind: resistor, value: 1M, tolerance: 1%}
  plate: {kind: metal, points: [a]}
  rail: {kind: metal, points: [b]}
joints:
  - [plate.a, big.1]
  - [rail.b, big.2]
wires:
  - [plate.a, rail.b]
)");
  const auto at = [&](const char* name) { return *harness.find_point(name); };
  const Chapter chapter(circuit_of(harness, {Setting(harness), {}, true, {}, {}}));
  for (const Fault& fault : faults_of(harness)) {
    if (in_words(harness, fault) != "the joint of plate.a>rail.b at plate.a is cold") continue;
    const Found entry = chapter.with(fault, 35, at("plate.a"), at("rail.b"));
    const double wire = 35 + 0.005 + 0.02 + 0.005;
    const double round = 1e6 + 0.005 + 0.005;
    CHECK_THAT(*entry.nominal, WithinRel(wire * round / (wire + round), 1e-12));
  }
}

TEST_CASE("single entries of a loom equal a solve of the whole loom", "[dictionary]") {
  const Harness harness = harness_from(loom(200));
  const Circuit circuit = circuit_of(harness, {Setting(harness), {}, true, {}, {}});
  const Chapter chapter(circuit);
  std::mt19937 random(3);
  const std::vector<Fault> faults = faults_of(harness);
  const Chapter::Index index = chapter.index(faults);
  for (int k = 0; k < 150; ++k) {
    const std::size_t f = random() % faults.size();
    const Fault& fault = faults[f];
    const double size = sizes_of(fault).front();
    const PointId a{static_cast<std::uint32_t>(random() % harness.points().size())};
    const PointId b{static_cast<std::uint32_t>(random() % harness.points().size())};
    if (a == b || !circuit.has(a) || !circuit.has(b)) continue;
    const Found entry = chapter.with(fault, size, a, b);
    const Whole whole(with_fault(circuit, fault, size), {a, b}, false);
    INFO(in_words(harness, fault) << ", " << harness[a].name << " to " << harness[b].name);
    CHECK(apart(entry.low, whole.ohms[0][1], 0) < 1e-9);
    CHECK(apart(entry.nominal, whole.ohms[1][1], 0) < 1e-9);
    CHECK(apart(entry.high, whole.ohms[2][1], 0) < 1e-9);
    const auto among = chapter.among(index, a, b);
    CHECK(std::binary_search(among.begin(), among.end(), f) == chapter.touches(fault, a, b));
  }
}
