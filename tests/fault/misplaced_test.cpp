// Leads on the wrong lug. The oracle is a second netlist in which they are written down where they are.
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>

#include "fault/fault.h"
#include "handling/handling.h"
#include "network/network.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

const std::string kTwo = R"(
parts:
  front: {kind: pickup, dcr: 6.2k}
  rear: {kind: pickup, dcr: 6.9k}
  selector:
    kind: switch
    lugs: [f, r, out]
    positions: {rear: [[r, out]], both: [[f, r, out]], front: [[f, out]]}
  volume: {kind: pot, track: 250k, taper: audio}
  tone: {kind: pot, track: 500k, taper: audio}
  cap: {kind: capacitor, value: 47n}
  jack: {kind: jack}
joints:
  - [selector.f, front.hot]
  - [selector.r, rear.hot]
  - [volume.case, front.ground, rear.ground, volume.1]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - {name: in, run: [selector.out, volume.3]}
  - {name: on, run: [volume.3, tone.1]}
  - {name: live, run: [volume.2, jack.tip]}
  - {name: chain, run: [volume.case, tone.case, jack.sleeve]}
)";

std::vector<Fault> misplaced(const Harness& harness, std::optional<std::size_t> stage = std::nullopt) {
  std::vector<Fault> faults = faults_at(harness, stage);
  std::erase_if(faults, [](const Fault& fault) { return fault.mode != Mode::Misplaced; });
  return faults;
}

std::set<std::string> words_of(const Harness& harness) {
  std::set<std::string> words;
  for (const Fault& fault : misplaced(harness)) words.insert(in_words(harness, fault));
  return words;
}

Fault named(const Harness& harness, const std::string& words) {
  for (const Fault& fault : misplaced(harness)) {
    if (in_words(harness, fault) == words) return fault;
  }
  std::string all;
  for (const std::string& each : words_of(harness)) all += each + "\n";
  FAIL("no fault \"" << words << "\" among\n" << all);
  return {};
}

// Every setting of the switches, with every pot at both stops and in between.
std::vector<Setting> settings_of(const Harness& harness) {
  std::vector<Setting> settings{Setting(harness)};
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    const std::vector<Setting> before = settings;
    for (const Setting& each : before) {
      Setting other = each;
      if (part.kind == PartKind::Pot) {
        for (double knob : {0.0, 4.0}) {
          other.turn(control, knob);
          settings.push_back(other);
        }
      }
      for (std::uint16_t p = 1; p < part.positions.size(); ++p) {
        other.select(control, p);
        settings.push_back(other);
      }
    }
  }
  return settings;
}

// All points that both harnesses have under one name read the same, up to what joints and wires may show.
// The lugs of a part that is itself turned around are left out.
void check_same(const Harness& harness, const Fault& fault, const Harness& written,
                const std::string& turned = "") {
  std::vector<PointId> points;
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const PointId id{i};
    const bool same =
        harness[id].role != PointRole::WireEnd && (turned.empty() || !harness[id].name.starts_with(turned));
    if (harness.probeable(id) && same) points.push_back(id);
  }
  const std::vector<Setting> ours = settings_of(harness);
  const std::vector<Setting> theirs = settings_of(written);
  REQUIRE(ours.size() == theirs.size());
  for (std::size_t s = 0; s < ours.size(); ++s) {
    for (PointId a : points) {
      for (PointId b : points) {
        if (!(a < b)) continue;
        const auto x = true_ohms(harness, {ours[s], {}, true, {}, {}}, a, b, &fault);
        const auto there = [&](PointId id) { return *written.find_point(harness[id].name); };
        const auto y = true_ohms(written, {theirs[s], {}, true, {}, {}}, there(a), there(b), nullptr);
        INFO(harness[a].name << " to " << harness[b].name << ", setting " << s);
        REQUIRE(x.has_value() == y.has_value());
        if (x) REQUIRE_THAT(*x, WithinRel(*y, 1e-5) || WithinAbs(*y, 0.05));
      }
    }
  }
}

void check_written(const std::string& text, const std::string& words,
                   const std::vector<std::pair<std::string, std::string>>& changes) {
  INFO(words);
  const Harness harness = harness_from(text);
  std::string changed = text;
  for (const auto& [from, to] : changes) changed = replaced(changed, from, to);
  check_same(harness, named(harness, words), harness_from(changed));
}

}  // namespace

TEST_CASE("two leads exchanged at neighbouring lugs read as a netlist that says so", "[fault]") {
  check_written(
      kTwo,
      "the leads at selector.f and selector.r are exchanged: front.hot is on selector.r, rear.hot on "
      "selector.f",
      {{"[selector.f, front.hot]", "[selector.f, rear.hot]"},
       {"[selector.r, rear.hot]", "[selector.r, front.hot]"}});
  check_written(kTwo,
                "the leads at jack.tip and jack.sleeve are exchanged: the wire to volume.2 is on "
                "jack.sleeve, the wire to tone.case on jack.tip",
                {{"[volume.2, jack.tip]", "[volume.2, jack.sleeve]"},
                 {"tone.case, jack.sleeve]", "tone.case, jack.tip]"}});
}

TEST_CASE("hot and ground of a pickup exchanged read as a netlist that says so", "[fault]") {
  check_written(kTwo,
                "the leads at selector.f and volume.case are exchanged: front.hot is on volume.case, "
                "front.ground on selector.f",
                {{"[selector.f, front.hot]", "[selector.f, front.ground]"},
                 {"volume.case, front.ground", "volume.case, front.hot"}});
}

TEST_CASE("a lead on the next lug joins that lug's blob and leaves the others where they are", "[fault]") {
  check_written(kTwo, "cap.1 is on tone.1 instead of tone.2", {{"[tone.2, cap.1]", "[tone.1, cap.1]"}});
  check_written(kTwo, "the wire to jack.tip is on volume.3 instead of volume.2",
                {{"[volume.2, jack.tip]", "[volume.3, jack.tip]"}});
  check_written(kTwo, "the wire to selector.out is on volume.2 instead of volume.3",
                {{"[selector.out, volume.3]", "[selector.out, volume.2]"}});
  check_written(kTwo, "the wire to jack.tip is on volume.case instead of volume.2",
                {{"[volume.2, jack.tip]", "[volume.case, jack.tip]"}});
}

TEST_CASE("a pot is mirrored with all that is on its outer lugs, a lug bent to the case too", "[fault]") {
  check_written(kTwo,
                "volume is mirrored: all that belongs on volume.1 is on volume.3, and the other way about",
                {{"rear.ground, volume.1]", "rear.ground, volume.3]"},
                 {"[selector.out, volume.3]", "[selector.out, volume.1]"},
                 {"[volume.3, tone.1]", "[volume.1, tone.1]"}});
}

TEST_CASE("all leads of two neighbouring lugs can be exchanged where one holds several", "[fault]") {
  check_written(kTwo, "all that belongs on volume.2 is on volume.3, and the other way about",
                {{"[selector.out, volume.3]", "[selector.out, volume.2]"},
                 {"[volume.3, tone.1]", "[volume.2, tone.1]"},
                 {"[volume.2, jack.tip]", "[volume.3, jack.tip]"}});
}

TEST_CASE("a switch turned around does in each position what the opposite one should", "[fault]") {
  const std::string text = R"(
parts:
  front: {kind: pickup, dcr: 6.2k}
  rear: {kind: pickup, dcr: 6.9k}
  lamp: {kind: resistor, value: 1k}
  lever:
    kind: switch
    lugs: [a1, a2, a, b1, b2, b]
    positions: {up: [[a1, a], [b1, b]], down: [[a2, a], [b2, b]]}
  jack: {kind: jack}
joints:
  - [lever.a1, front.hot]
  - [lever.a2, rear.hot]
  - [lever.b1, front.ground]
  - [lever.b2, rear.ground, lamp.1]
  - [lever.b, lamp.2]
wires:
  - [lever.a, jack.tip]
  - [lever.b, jack.sleeve]
)";
  const Harness harness = harness_from(text);
  check_same(harness,
             named(harness, "lever is turned around: what belongs on lever.a1 is on lever.a2, and so on"),
             harness_from(replaced(text, "up: [[a1, a], [b1, b]], down: [[a2, a], [b2, b]]",
                                   "up: [[a2, a], [b2, b]], down: [[a1, a], [b1, b]]")),
             "lever.");
}

TEST_CASE("what works either way round is not exchanged", "[fault]") {
  const Harness harness = harness_from(R"(
parts:
  front: {kind: pickup, dcr: 6.2k}
  button: {kind: switch, lugs: [a, b], positions: {play: [], kill: [[a, b]]}}
  volume: {kind: pot, track: 250k}
  tone: {kind: pot, track: 500k}
  cap: {kind: capacitor, value: 47n}
  jack: {kind: jack}
joints:
  - [volume.3, front.hot]
  - [volume.case, front.ground, volume.1]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - {name: to-tone, run: [volume.3, tone.1]}
  - {name: live, run: [volume.2, button.a]}
  - {name: tip, run: [button.a, jack.tip]}
  - {name: dead, run: [button.b, volume.case]}
  - {name: chain, run: [volume.case, tone.case, jack.sleeve]}
)");
  const auto words = words_of(harness);
  for (const std::string& each : words) {
    INFO(each);
    // A button's lugs, the two used lugs of a tone and a capacitor's leads have no direction.
    CHECK(each.find("button.a and button.b") == std::string::npos);
    CHECK(each.find("tone.1 and tone.2") == std::string::npos);
    CHECK(each.find("tone.2 and tone.case") == std::string::npos);
  }
  // But this one does nothing any more.
  CHECK(words.count("cap.1 is on tone.3 instead of tone.2") == 1);
}

TEST_CASE("every misplaced lead of the worked harnesses changes some reading in some setting", "[fault]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    std::vector<Circuit> circuits;
    for (const Setting& setting : settings_to_try(harness, {}))
      circuits.push_back(circuit_of(harness, {setting, {}, true, {}, {}}));
    for (const Fault& fault : misplaced(harness)) {
      bool differs = false;
      for (std::size_t c = 0; c < circuits.size() && !differs; ++c) {
        const Circuit faulty = with_fault(circuits[c], fault);
        std::vector<Resistor> sound_r, faulty_r;
        std::vector<std::uint32_t> points;
        for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
          const PointRole role = harness.points()[i].role;
          const bool real = role != PointRole::Solder && role != PointRole::WiperPlace;
          if (circuits[c].has(PointId{i}) && real) points.push_back(i);
        }
        for (const Branch& each : circuits[c].branches)
          sound_r.push_back({each.a.index, each.b.index, each.ohms.nominal * each.at_nominal});
        for (const Branch& each : faulty.branches)
          faulty_r.push_back({each.a.index, each.b.index, each.ohms.nominal * each.at_nominal});
        const auto sound = Network(harness.points().size(), sound_r).all_pairs(points);
        const auto wrong = Network(harness.points().size(), faulty_r).all_pairs(points);
        for (std::size_t k = 0; k < sound.size() && !differs; ++k) {
          differs = sound[k].has_value() != wrong[k].has_value() ||
                    (sound[k] && std::abs(*sound[k] - *wrong[k]) > 1);
        }
      }
      INFO(path << ": " << in_words(harness, fault));
      CHECK(differs);
    }
  }
}

TEST_CASE("at a stage only leads and lugs that are there are misplaced", "[fault]") {
  const Harness harness = harness_from(kTwo + "stages: {bench: {without: [rear, jack]}}\n");
  for (const Fault& fault : misplaced(harness, 0)) {
    const std::string words = in_words(harness, fault);
    INFO(words);
    CHECK(words.find("rear.") == std::string::npos);
    CHECK(words.find("on jack.") == std::string::npos);
  }
  CHECK(misplaced(harness, 0).size() < misplaced(harness).size());
}

TEST_CASE("of two exchanged leads each is a fault of its own to name", "[fault]") {
  const Harness harness = harness_from(kTwo);
  const Fault fault =
      named(harness,
            "the leads at selector.f and selector.r are exchanged: front.hot is on selector.r, "
            "rear.hot on selector.f");
  const auto name = [&](PointId point) { return harness[point].name; };
  CHECK(name(fault.points[0]) == "front.hot");
  CHECK(name(fault.points[1]) == "selector.r");
  CHECK(name(fault.points[2]) == "selector.f");
  const auto other = partner(fault);
  REQUIRE(other);
  CHECK(name(other->points[0]) == "rear.hot");
  CHECK(name(other->points[1]) == "selector.f");
  CHECK(name(other->points[2]) == "selector.r");
}

TEST_CASE("a lead that is lifted is off wherever it was", "[fault]") {
  const Harness harness = harness_from(kTwo);
  const Fault fault = named(harness, "cap.1 is on tone.1 instead of tone.2");
  const auto at = [&](const char* name) { return *harness.find_point(name); };
  const State state{Setting(harness), {}, true, {at("cap.1")}, {}};
  CHECK_FALSE(true_ohms(harness, state, at("cap.1"), at("tone.1"), &fault));
}
