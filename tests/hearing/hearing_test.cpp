// What reaches the amplifier, by hand and by nodal analysis; what a player would say of a fault.
#include "hearing/listener.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

const std::string kOne = R"(
parts:
  single: {kind: pickup, dcr: 6k, shield: true}
  volume: {kind: pot, track: 250k, taper: linear}
  tone: {kind: pot, track: 500k, taper: linear}
  cap: {kind: capacitor, value: 47n}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - [volume.case, single.shield]
  - [volume.3, tone.1]
  - [volume.2, jack.tip]
  - [volume.case, tone.case, jack.sleeve]
  - [volume.case, hardware.bridge]
)";

const std::string kTwo = R"(
parts:
  front: {kind: pickup, dcr: 6k}
  rear: {kind: pickup, dcr: 7k}
  selector:
    kind: switch
    lugs: [f, r, out]
    positions: {rear: [[r, out]], both: [[f, r, out]], front: [[f, out]]}
  volume: {kind: pot, track: 250k, taper: linear}
  jack: {kind: jack}
joints:
  - [selector.f, front.hot]
  - [selector.r, rear.hot]
  - [volume.case, front.ground, rear.ground, volume.1]
wires:
  - [selector.out, volume.3]
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)";

double parallel(double x, double y) { return x * y / (x + y); }

Setting with(const Harness& harness, const std::string& pot, double knob) {
  Setting setting(harness);
  setting.turn(*harness.find_part(pot), knob);
  return setting;
}

Setting selected(const Harness& harness, std::uint16_t position) {
  Setting setting(harness);
  setting.select(*harness.find_part("selector"), position);
  return setting;
}

Hearing heard(const Harness& harness, const Setting& setting) {
  const auto hearing = hear(harness, as_played(harness, setting, {}));
  REQUIRE(hearing);
  return *hearing;
}

Fault named(const Harness& harness, const std::string& words) {
  for (const Fault& fault : faults_of(harness)) {
    if (in_words(harness, fault) == words) return fault;
  }
  FAIL("no fault \"" << words << "\"");
  return {};
}

std::set<std::string> say(const Harness& harness, const std::vector<Change>& changes) {
  std::set<std::string> words;
  for (const Change& change : changes)
    words.insert((change.pickup ? harness[*change.pickup].name + " " : "") +
                 std::string(sound_word(change.sound)));
  return words;
}

std::set<std::string> complaints(const Harness& harness, const std::string& fault, double size = 0) {
  std::set<std::string> words;
  for (const Complaint& each : Listener(harness, {}).complaints(named(harness, fault), size)) {
    words.insert((each.pickup ? harness[*each.pickup].name + " " : "") +
                 (each.control ? harness[*each.control].name + " " : "") +
                 std::string(sound_word(each.sound)));
  }
  return words;
}

using Words = std::set<std::string>;

// Volts between two points for a volt in series with one branch, by Kirchhoff's equations and Gaussian elimination. What
// hangs on nothing is held by a conductance far below all others.
double volts(const Circuit& circuit, const std::vector<std::pair<PointId, PointId>>& wires,
             std::size_t source, PointId tip, PointId sleeve, std::optional<PointId> ring = {}) {
  const std::size_t n = circuit.points;
  std::vector<std::vector<double>> a(n, std::vector<double>(n + 1, 0));
  const auto join = [&](std::uint32_t x, std::uint32_t y, double siemens) {
    a[x][x] += siemens;
    a[y][y] += siemens;
    a[x][y] -= siemens;
    a[y][x] -= siemens;
  };
  for (std::size_t b = 0; b < circuit.branches.size(); ++b) {
    const Branch& branch = circuit.branches[b];
    const double ohms = std::max(branch.ohms.nominal * branch.at_nominal, 1e-4);
    join(branch.a.index, branch.b.index, 1 / ohms);
    if (b != source) continue;
    a[branch.a.index][n] += 1 / ohms;  // a volt from b to a
    a[branch.b.index][n] -= 1 / ohms;
  }
  for (const auto& [x, y] : wires) join(x.index, y.index, 1e4);
  join(tip.index, sleeve.index, 1 / kAmplifier);
  if (ring) join(ring->index, sleeve.index, 1 / kAmplifier);
  for (std::size_t i = 0; i < n; ++i) a[i][i] += 1e-13;
  for (std::size_t k = 0; k < n; ++k) {
    std::size_t pivot = k;
    for (std::size_t i = k; i < n; ++i) {
      if (std::abs(a[i][k]) > std::abs(a[pivot][k])) pivot = i;
    }
    std::swap(a[k], a[pivot]);
    for (std::size_t i = 0; i < n; ++i) {
      if (i == k || a[i][k] == 0) continue;
      const double share = a[i][k] / a[k][k];
      for (std::size_t j = k; j <= n; ++j) a[i][j] -= share * a[k][j];
    }
  }
  const auto at = [&](PointId point) { return a[point.index][n] / a[point.index][point.index]; };
  return at(tip) - at(sleeve) + (ring ? at(*ring) - at(sleeve) : 0);
}

}  // namespace

TEST_CASE("a pickup, a volume and the amplifier divide its voltage as by hand", "[hearing]") {
  const Harness harness = harness_from(kOne);
  // At 10: 250k and a megohm in parallel behind 6k; the tone's capacitor lets no bass through.
  const double load = parallel(250e3, 1e6);
  CHECK_THAT(heard(harness, Setting(harness)).bass(), WithinRel(load / (6e3 + load), 1e-4));
  // The treble also goes through the tone's 500k.
  const double bright = parallel(load, 500e3);
  CHECK_THAT(heard(harness, Setting(harness)).treble(), WithinRel(bright / (6e3 + bright), 1e-4));
  // At 5: 125k in series, then 125k beside the amplifier; all of it is what the coil sees.
  const double lower = parallel(125e3, 1e6);
  CHECK_THAT(heard(harness, with(harness, "volume", 5)).bass(),
             WithinRel(lower / (6e3 + 125e3 + lower), 1e-4));
}

TEST_CASE("a volume at 0 is silent, a tone at 0 keeps the bass only", "[hearing]") {
  const Harness harness = harness_from(kOne);
  CHECK(heard(harness, with(harness, "volume", 0)).bass() < 1e-3);
  CHECK(heard(harness, with(harness, "volume", 0)).treble() < 1e-3);
  CHECK(heard(harness, with(harness, "tone", 0)).bass() > 0.9);
  CHECK(heard(harness, with(harness, "tone", 0)).treble() < 1e-3);
}

TEST_CASE("two pickups on load each other, two coils in series share alike", "[hearing]") {
  const Harness two = harness_from(kTwo);
  const Hearing both = heard(two, selected(two, 1));
  const double load = parallel(250e3, 1e6);
  const double beside_rear = parallel(7e3, load);
  CHECK_THAT(both.bass(two.find_part("front")), WithinRel(beside_rear / (6e3 + beside_rear), 1e-4));
  const double beside_front = parallel(6e3, load);
  CHECK_THAT(both.bass(two.find_part("rear")), WithinRel(beside_front / (7e3 + beside_front), 1e-4));
  CHECK(heard(two, selected(two, 0)).bass(two.find_part("front")) < 1e-6);

  const Harness twin = harness_from(R"(
parts:
  twin: {kind: pickup, coils: {slug: 3.7k, screw: 4.3k}, inside: [[slug-finish, screw-finish]]}
  jack: {kind: jack}
wires:
  - [twin.slug-start, jack.tip]
  - [twin.screw-start, jack.sleeve]
)");
  const Hearing hearing = heard(twin, Setting(twin));
  REQUIRE(hearing.voices.size() == 2);
  for (const Voice& voice : hearing.voices)
    CHECK_THAT(std::abs(voice.bass), WithinRel(1e6 / (8e3 + 1e6), 1e-4));
}

TEST_CASE("the share of every coil of the worked harnesses is that of nodal analysis", "[hearing]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    const auto tip = harness.find_point("jack.plug-tip");
    const auto sleeve = harness.find_point("jack.plug-sleeve");
    if (!tip || !sleeve) continue;
    const auto ring = harness.find_point("jack.plug-ring");
    constexpr double kPi = 3.141592653589793;
    std::vector<std::pair<PointId, PointId>> capacitors;
    for (const Element& element : harness.elements()) {
      if (element.kind == ElementKind::Capacitor && !harness.piezo(*element.part))
        capacitors.emplace_back(element.a, element.b);
    }
    for (const Setting& setting : settings_to_hear(harness, {})) {
      const Circuit circuit = as_played(harness, setting, {});
      const Hearing hearing = *hear(harness, circuit);
      // A piezo is its reactance at 1 kHz, an inductor for the treble that at 5 kHz and its ohms.
      Circuit low = circuit;
      for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
        const Element& element = harness.elements()[i];
        if (element.kind != ElementKind::Capacitor || !harness.piezo(*element.part)) continue;
        const double ohms = 1 / (2 * kPi * 1000 * *harness[*element.part].value);
        low.branches.push_back(
            {ElementId{i}, element.a, element.b, false, {ohms, ohms, ohms}, std::nullopt, 1, 1, 1});
      }
      Circuit high = low;
      for (Branch& branch : high.branches) {
        const Element& element = harness[branch.element];
        if (element.kind != ElementKind::Coil || harness[*element.part].kind != PartKind::Inductor) continue;
        branch.ohms.nominal += 2 * kPi * 5000 * *harness[*element.part].value;
      }
      for (std::size_t b = 0; b < low.branches.size(); ++b) {
        for (const Voice& voice : hearing.voices) {
          if (voice.coil != low.branches[b].element) continue;
          INFO(path << " coil " << harness[harness[voice.coil].a].name);
          CHECK_THAT(voice.bass, WithinAbs(volts(low, {}, b, *tip, *sleeve, ring), 1e-5));
          CHECK_THAT(voice.treble, WithinAbs(volts(high, capacitors, b, *tip, *sleeve, ring), 1e-5));
        }
      }
    }
  }
}

TEST_CASE("an open ground hums and is silent, open strings only buzz, an open shield until they are touched",
          "[hearing]") {
  const Harness harness = harness_from(kOne);
  Listener listener(harness, {});
  const auto noted = [&](const std::string& fault) {
    return say(harness, listener.changes_in(Setting(harness), named(harness, fault), 0));
  };
  CHECK(noted("the wire from tone.case to jack.sleeve is open") == Words{"buzzes", "single silent"});
  CHECK(noted("the wire from volume.case to hardware.bridge is open") == Words{"buzzes"});
  CHECK(noted("the wire from volume.case to single.shield is open") == Words{"buzzes-until-touched"});
  CHECK(noted("the wire from volume.2 to jack.tip is open") == Words{"single silent"});
  CHECK(noted("the joint of cap.1 at tone.2 is open").empty());
  // The coil then hangs on the hot wire by one end.
  CHECK(noted("the joint of single.ground at volume.case is open") == Words{"hums", "single silent"});
}

TEST_CASE("hot on ground is silent, a stuck contact is always on", "[hearing]") {
  const Harness two = harness_from(kTwo);
  CHECK(complaints(two, "jack.tip and jack.sleeve touch each other") == Words{"silent"});
  CHECK(complaints(two, "the contact between selector.f and selector.out stays closed")
            .count("front always-on") == 1);
  Listener listener(two, {});
  const Fault stuck = named(two, "the contact between selector.f and selector.out stays closed");
  CHECK(say(two, listener.changes_in(selected(two, 0), stuck, 0)).count("front always-on") == 1);
  CHECK(listener.changes_in(selected(two, 1), stuck, 0).empty());
}

TEST_CASE("a pickup whose lead is off is silent alone and missing in the middle", "[hearing]") {
  const Harness two = harness_from(kTwo);
  const Fault off = named(two, "the joint of front.hot at selector.f is open");
  Listener listener(two, {});
  CHECK(say(two, listener.changes_in(selected(two, 2), off, 0)) == Words{"front silent"});
  CHECK(say(two, listener.changes_in(selected(two, 1), off, 0)) == Words{"front silent"});
  CHECK(listener.changes_in(selected(two, 0), off, 0).empty());
}

TEST_CASE("a pickup turned around against the other is hollow where both sound and well alone", "[hearing]") {
  const Harness two = harness_from(kTwo);
  const Fault turned =
      named(two,
            "the leads at selector.f and volume.case are exchanged: front.hot is on volume.case, "
            "front.ground on selector.f");
  Listener listener(two, {});
  CHECK(listener.changes_in(selected(two, 2), turned, 0).empty());
  CHECK(say(two, listener.changes_in(selected(two, 1), turned, 0)) == Words{"hollow"});
}

TEST_CASE("controls that are misplaced do nothing, work backwards or never mute", "[hearing]") {
  const Harness harness = harness_from(kOne);
  CHECK(complaints(harness, "cap.1 is on tone.3 instead of tone.2") == Words{"tone does-nothing"});
  CHECK(complaints(harness, "the joint of cap.1 at tone.2 is open") == Words{"tone does-nothing"});
  CHECK(complaints(harness,
                   "volume is mirrored: all that belongs on volume.1 is on volume.3, and the other way about")
            .count("volume works-backwards") == 1);
  CHECK(complaints(harness, "the joint of volume.1 at volume.case is open").count("volume does-not-mute") ==
        1);
  // A shorted capacitor mutes at the tone's low stop.
  CHECK(complaints(harness, "the capacitor cap is shorted").count("single tone silent") == 1);
}

TEST_CASE("what is dirty or cold in the path of the signal crackles, however small it is", "[hearing]") {
  const Harness harness = harness_from(kOne);
  CHECK(complaints(harness, "the wiper of volume is dirty", 100) == Words{"crackles", "volume scratchy"});
  CHECK(complaints(harness, "the track of volume is worn") == Words{"crackles", "volume scratchy"});
  CHECK(complaints(harness, "the joint of single.hot at volume.3 is cold", 100) == Words{"crackles"});
  CHECK(complaints(harness, "the joint of single.hot at volume.3 is cold", 3e6) == Words{"crackles", "weak"});
}

TEST_CASE("half a coil is half as loud, one of two coils is thin", "[hearing]") {
  const Harness harness = harness_from(kOne);
  CHECK(complaints(harness, "the coil between single.hot and single.ground has a wrong value", 0.5)
            .count("weak") == 1);
  const Harness twin = harness_from(R"(
parts:
  twin: {kind: pickup, coils: {slug: 3.7k, screw: 4.3k}, inside: [[slug-finish, screw-finish]]}
  jack: {kind: jack}
wires:
  - [twin.slug-start, jack.tip]
  - [twin.screw-start, jack.sleeve]
)");
  CHECK(complaints(twin, "the coil between twin.slug-start and twin.slug-finish is shorted") ==
        Words{"thin", "twin hums"});
}

TEST_CASE("a pot whose track is open, or whose lugs 2 and 3 touch, gives all or nothing", "[hearing]") {
  const Harness harness = harness_from(kOne);
  CHECK(complaints(harness, "the track of volume is open").count("volume all-or-nothing") == 1);
  CHECK(complaints(harness, "volume.2 and volume.3 touch each other") == Words{"volume all-or-nothing"});
  CHECK(complaints(harness, "the track of tone is open").count("tone all-or-nothing") == 1);
  CHECK(complaints(harness, "the track of tone is worn") == Words{"tone scratchy"});
}

TEST_CASE("an open capacitor leaves the tone without an effect, and an open bleed the treble to fade",
          "[hearing]") {
  CHECK(complaints(harness_from(kOne), "the capacitor cap is open") == Words{"tone does-nothing"});
  const Harness bleed = harness_from(R"(
parts:
  single: {kind: pickup, dcr: 6k}
  volume: {kind: pot, track: 500k, taper: linear}
  bleed: {kind: capacitor, value: 1n}
  jack: {kind: jack}
joints:
  - [volume.3, single.hot, bleed.1]
  - [volume.2, bleed.2]
  - [volume.case, single.ground, volume.1]
wires:
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)");
  for (const char* fault : {"the capacitor bleed is open", "the joint of bleed.1 at volume.3 is open"})
    CHECK(complaints(bleed, fault) == Words{"single volume dull"});
}

TEST_CASE("a split that is open does nothing, in its contact, its wire or its lead", "[hearing]") {
  const Harness harness = harness_from(R"(
parts:
  twin: {kind: pickup, coils: {slug: 3.7k, screw: 4.3k}, leads: {mid: slug-finish}, inside: [[slug-finish, screw-finish]]}
  split: {kind: switch, lugs: [common, pulled], positions: {down: [], up: [[common, pulled]]}}
  jack: {kind: jack}
joints:
  - [split.common, twin.mid]
wires:
  - [twin.slug-start, jack.tip]
  - [twin.screw-start, jack.sleeve]
  - [split.pulled, jack.sleeve]
)");
  for (const char* fault :
       {"the contact between split.common and split.pulled is open",
        "the wire from split.pulled to jack.sleeve is open", "the joint of twin.mid at split.common is open"})
    CHECK(complaints(harness, fault) == Words{"split does-nothing"});
}

TEST_CASE("a bare lead that is open buzzes until the strings are touched, a toggle's frame as it is touched",
          "[hearing]") {
  const Harness harness = harness_from(R"(
parts:
  twin: {kind: pickup, coils: {slug: 3.7k, screw: 4.3k}, shield: true, leads: {bare: shield}, inside: [[slug-finish, screw-finish]]}
  toggle: {kind: switch, lugs: [in, out, frame], positions: {on: [[in, out]], off: []}}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
joints:
  - [toggle.in, twin.slug-start]
  - [jack.sleeve, twin.screw-start]
  - [jack.sleeve, twin.bare]
wires:
  - [toggle.out, jack.tip]
  - [toggle.frame, jack.sleeve]
  - [hardware.bridge, jack.sleeve]
)");
  CHECK(complaints(harness, "the joint of twin.bare at jack.sleeve is open") ==
        Words{"buzzes-until-touched"});
  CHECK(complaints(harness, "the wire from toggle.frame to jack.sleeve is open") ==
        Words{"hums-when-touched"});
}

TEST_CASE("two throws of a selector that touch make all its places sound the same", "[hearing]") {
  CHECK(complaints(harness_from(kTwo), "selector.f and selector.r touch each other")
            .count("selector all-the-same") == 1);
}

TEST_CASE("a volume whose ground lug is elsewhere no longer mutes, and does not work backwards",
          "[hearing]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    Listener listener(harness, {});
    if (!listener.plugged()) continue;
    for (const Fault& fault : faults_of(harness)) {
      if (fault.mode != Mode::Open) continue;  // what is off its lug turns no knob around
      INFO(path << ": " << in_words(harness, fault));
      for (const Complaint& each : listener.complaints(fault, 0)) {
        const bool treble_only =
            each.control && harness[*each.control].name.find("tone") != std::string::npos;
        CHECK((treble_only || each.sound != Sound::WorksBackwards));
      }
    }
  }
}

TEST_CASE("dead and quiet is told from dead and humming", "[hearing]") {
  const Harness two = harness_from(kTwo);
  // The tip hangs on the open hot wire alone: nothing to hum.
  CHECK(complaints(two, "the wire from volume.2 to jack.tip is open") == Words{"silent"});
  CHECK(complaints(two, "the wire from volume.case to jack.sleeve is open") == Words{"silent", "hums"});
  // In a place of the switch that leaves the coil off, only the open ground ties it to the tip.
  const Harness off = harness_from(R"(
parts:
  single: {kind: pickup, dcr: 6k}
  toggle: {kind: switch, lugs: [in, out, down], positions: {on: [[in, out]], standby: [[out, down]]}}
  jack: {kind: jack}
joints:
  - [toggle.in, single.hot]
wires:
  - [single.ground, toggle.down, jack.sleeve]
  - [toggle.out, jack.tip]
)");
  Listener listener(off, {});
  Setting standby(off);
  standby.select(*off.find_part("toggle"), 1);
  const Fault open = named(off, "the wire from toggle.down to jack.sleeve is open");
  CHECK(listener.changes_in(standby, open, 0).empty());
  CHECK(say(off, listener.changes_in(Setting(off), open, 0)) == Words{"hums", "single silent"});
}

TEST_CASE("what goes through a module is not known, and what does not is", "[hearing]") {
  const Harness harness = harness_from(R"(
parts:
  single: {kind: pickup, dcr: 6k}
  preamp: {kind: module, points: [in, out, plus, ground]}
  battery: {kind: battery, voltage: 9}
  jack: {kind: jack}
joints:
  - [preamp.plus, battery.plus]
  - [preamp.ground, battery.minus]
wires:
  - [single.hot, preamp.in]
  - [single.ground, preamp.ground, jack.sleeve]
  - [preamp.out, jack.tip]
)");
  Listener listener(harness, {});
  const auto hidden = [&](const char* fault) { return listener.hidden_by_module(named(harness, fault), 0); };
  CHECK(hidden("the wire from single.hot to preamp.in is open"));
  CHECK(hidden("the wire from preamp.out to jack.tip is open"));
  CHECK(hidden("the joint of battery.plus at preamp.plus is open"));
  CHECK(complaints(harness, "the wire from single.hot to preamp.in is open").empty());
}

TEST_CASE("a sound harness has nothing to complain of", "[hearing]") {
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    for (const Setting& setting : settings_to_hear(harness, {})) {
      const auto hearing = hear(harness, as_played(harness, setting, {}));
      if (hearing) CHECK(changes(*hearing, *hearing).empty());
    }
    Fault nothing;  // a short of a point to itself
    nothing.mode = Mode::Short;
    CHECK(Listener(harness, {}).complaints(nothing, 0).empty());
  }
}

TEST_CASE("without a jack there is nothing to hear", "[hearing]") {
  const Harness harness = harness_from(kOne + "stages: {bench: {without: [jack]}}\n");
  CHECK_FALSE(hear(harness, as_played(harness, Setting(harness), 0)));
  CHECK_FALSE(Listener(harness, 0).plugged());
  CHECK(Listener(harness, {}).plugged());
}

// A fault where no signal flows is heard without solving the circuit again: held against solving it again.
TEST_CASE("what is heard of a fault is what is heard of the circuit with that fault in it", "[hearing]") {
  std::size_t heard = 0;
  for (const std::string& path : worked_harnesses()) {
    const Harness harness = worked_harness(path).harness;
    for (const Setting& setting : settings_to_hear(harness, {})) {
      const Circuit circuit = as_played(harness, setting, {});
      for (const Fault& fault : faults_of(harness)) {
        const bool of_capacitor =
            fault.element && harness[*fault.element].kind == ElementKind::Capacitor;  // is no resistor
        if (of_capacitor || fault.mode == Mode::Value) continue;
        const auto one = hear(harness, with_fault(circuit, fault, 1e4));
        const auto other = hear(harness, circuit, fault, 1e4);
        REQUIRE(one.has_value() == other.has_value());
        if (!one) continue;
        const Hearing& direct = *one;
        const Hearing& found = *other;
        REQUIRE(found.voices.size() == direct.voices.size());
        INFO(path << ": " << in_words(harness, fault));
        for (std::size_t i = 0; i < found.voices.size(); ++i) {
          CHECK(std::abs(found.voices[i].bass - direct.voices[i].bass) < 1e-6);
          CHECK(std::abs(found.voices[i].treble - direct.voices[i].treble) < 1e-6);
        }
        CHECK(found.loose_strings == direct.loose_strings);
        CHECK(found.loose_shields == direct.loose_shields);
        ++heard;
      }
    }
  }
  CHECK(heard > 3000);
}
