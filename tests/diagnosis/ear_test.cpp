// What was heard, as evidence: which faults a complaint speaks for, and which against.
#include <algorithm>
#include <map>
#include <string>

#include "diagnosis/diagnosis.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

const std::string kTwo = R"(
parts:
  front: {kind: pickup, dcr: 6k, shield: true}
  rear: {kind: pickup, dcr: 7k}
  selector:
    kind: switch
    lugs: [f, r, out]
    positions: {rear: [[r, out]], both: [[f, r, out]], front: [[f, out]]}
  volume: {kind: pot, track: 250k, taper: audio}
  tone: {kind: pot, track: 250k, taper: audio}
  cap: {kind: capacitor, value: 47n}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
joints:
  - [selector.f, front.hot]
  - [selector.r, rear.hot]
  - [volume.case, front.ground, rear.ground, volume.1]
  - [volume.case, front.shield]
  - [tone.2, cap.1]
  - [tone.case, cap.2]
wires:
  - [selector.out, volume.3]
  - [volume.3, tone.1]
  - [volume.2, jack.tip]
  - [volume.case, tone.case, jack.sleeve]
  - [volume.case, hardware.bridge]
)";

Heard heard(const Harness& harness, Sound sound, const std::string& of = "", int position = -1) {
  Heard one;
  one.sound = sound;
  if (const auto part = harness.find_part(of)) {
    (harness[*part].kind == PartKind::Pickup ? one.pickup : one.control) = part;
  }
  one.setting = Setting(harness);
  one.set_given = position >= 0;
  if (position >= 0) one.setting.select(*harness.find_part("selector"), static_cast<std::uint16_t>(position));
  return one;
}

// How likely each fault is, by its words, from complaints alone.
std::map<std::string, double> suspected(const Harness& harness, const std::vector<Heard>& all) {
  std::map<std::string, double> found;
  for (const Suspect& suspect : diagnose(harness, {}, {}, all).suspects)
    found[in_words(harness, suspect.fault)] = suspect.probability;
  return found;
}

double of(const std::map<std::string, double>& suspects, const std::string& fault) {
  const auto found = suspects.find(fault);
  return found == suspects.end() ? 0 : found->second;
}

}  // namespace

TEST_CASE("of a pickup that is silent, what silences the others too counts far less", "[diagnosis]") {
  const Harness harness = harness_from(kTwo);
  const auto named = suspected(harness, {heard(harness, Sound::Silent, "front")});
  const double lead = of(named, "the joint of front.hot at selector.f is open");
  const double tip = of(named, "the wire from volume.2 to jack.tip is open");
  CHECK(lead > 0);
  CHECK(lead > 5 * tip);
  // Of no pickup by name it is the whole instrument.
  const auto whole = suspected(harness, {heard(harness, Sound::Silent)});
  CHECK(of(whole, "the wire from volume.2 to jack.tip is open") >
        5 * of(whole, "the joint of front.hot at selector.f is open"));
}

TEST_CASE("a buzz that touching the strings stops speaks against an open string ground", "[diagnosis]") {
  const Harness harness = harness_from(kTwo);
  const std::string ground = "the wire from volume.case to hardware.bridge is open";
  const std::string shield = "the joint of front.shield at volume.case is open";
  const auto stops = suspected(harness, {heard(harness, Sound::BuzzesUntilTouched)});
  CHECK(of(stops, shield) > 10 * of(stops, ground));
  const auto stays = suspected(harness, {heard(harness, Sound::Buzzes)});
  CHECK(of(stays, ground) > of(stays, shield));
}

TEST_CASE("a tone that does nothing points at its capacitor and wires, not at the pickups", "[diagnosis]") {
  const Harness harness = harness_from(kTwo);
  const auto found = suspected(harness, {heard(harness, Sound::DoesNothing, "tone")});
  CHECK(of(found, "the joint of cap.1 at tone.2 is open") > 0);
  CHECK(of(found, "the joint of cap.1 at tone.2 is open") >
        10 * of(found, "the joint of front.hot at selector.f is open"));
}

TEST_CASE("what crackles speaks for cold joints and dirty contacts, whatever their size", "[diagnosis]") {
  const Harness harness = harness_from(kTwo);
  const auto found = suspected(harness, {heard(harness, Sound::Crackles)});
  CHECK(of(found, "the contact between jack.tip and jack.plug-tip is dirty") >
        5 * of(found, "the contact between jack.tip and jack.plug-tip is open"));
}

TEST_CASE("a shock says nothing of the wiring", "[diagnosis]") {
  const Harness harness = harness_from(kTwo);
  const Diagnosis found = diagnose(harness, {}, {}, {heard(harness, Sound::Shock)});
  const Diagnosis nothing =
      diagnose(harness, {}, {}, {heard(harness, Sound::Shock), heard(harness, Sound::Shock)});
  CHECK(std::abs(found.sound - nothing.sound) < 0.2);
}
