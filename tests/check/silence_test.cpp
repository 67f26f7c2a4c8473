// Which coils reach the jack in no setting, held against another way to tell: a coil is heard in a setting where the
// reading at the plug moves with the coil's resistance. Every setting of every switch is tried, on random harnesses.

#include <algorithm>
#include <cmath>
#include <random>

#include "check/check.h"
#include "circuit/circuit.h"
#include "expectation/corner.h"
#include "harness/builder.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;

namespace {

// Wires at random between all points, or grounds where they belong and a wire on every lug.
enum class Wiring { AtRandom, EveryLug };

// A few pickups, pots and switches, their points joined by a random set of wires.
Harness random_harness(unsigned seed, Wiring wiring = Wiring::AtRandom) {
  std::mt19937 random(seed);
  const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(random() % count); };
  HarnessBuilder builder;
  std::vector<PartId> parts;
  for (const char* name : {"front", "rear"}) {
    PickupSpec spec;
    spec.coils = {{"hot", "ground", 6000, 0.1}};
    parts.push_back(builder.add_pickup(name, spec, {}));
  }
  PotSpec pot;
  pot.track = 250e3;
  pot.taper = Taper::Linear;
  parts.push_back(builder.add_pot("volume", pot, {}));
  for (const char* name : {"one", "two"}) {
    SwitchSpec spec;
    spec.lugs = {"a", "b", "c"};
    spec.positions = {{"first", {{"a", "b"}}, {}}, {"second", {{"b", "c"}}, {}}};
    if (pick(2)) spec.positions.push_back({"third", {{"a", "c", "b"}}, {}});
    parts.push_back(builder.add_switch(name, spec, {}));
  }
  const PartId jack = builder.add_jack("jack", JackSpec{}, {});

  std::vector<PointId> points;
  for (PartId part : parts) {
    for (PointId point : builder.so_far()[part].points) points.push_back(point);
  }
  points.push_back(builder.so_far()[jack].points[0]);
  points.push_back(builder.so_far()[jack].points[1]);

  std::vector<WireSpec> wires;
  const auto named = [&](const char* name) { return *builder.so_far().find_point(name); };
  std::vector<PointId> first;  // each gets a wire to one of the hot side
  if (wiring == Wiring::EveryLug) {
    for (const char* name : {"front.ground", "rear.ground", "volume.1"}) {
      WireSpec wire;
      wire.run = {named(name), named("jack.sleeve")};
      wires.push_back(wire);
    }
    for (const char* name : {"one.a", "one.b", "one.c", "two.a", "two.b", "two.c", "front.hot", "rear.hot",
                             "volume.3", "jack.tip"})
      first.push_back(named(name));
  }
  const std::size_t count = wiring == Wiring::EveryLug ? wires.size() + first.size() : 8 + pick(5);
  while (wires.size() < count) {
    const bool hot = wiring == Wiring::EveryLug;
    const PointId a = hot ? first[count - wires.size() - 1] : points[pick(points.size())];
    const PointId b = hot ? first[pick(first.size())] : points[pick(points.size())];
    const bool again = std::any_of(wires.begin(), wires.end(), [&](const WireSpec& wire) {
      return wire.run == std::vector<PointId>{a, b} || wire.run == std::vector<PointId>{b, a};
    });
    if (a == b || again) continue;
    WireSpec wire;
    wire.run = {a, b};
    wires.push_back(wire);
  }
  builder.add_wires(wires);
  return builder.build();
}

std::vector<Setting> every_setting(const Harness& harness) {
  Setting middle(harness);
  middle.turn(*harness.find_part("volume"), 5);
  std::vector<Setting> settings{middle};
  for (PartId control : harness.controls()) {
    if (harness[control].kind != PartKind::Switch) continue;
    std::vector<Setting> more;
    for (const Setting& setting : settings) {
      for (std::uint16_t place = 0; place < harness[control].positions.size(); ++place) {
        more.push_back(setting);
        more.back().select(control, place);
      }
    }
    settings = std::move(more);
  }
  return settings;
}

// Through the coil or not, a wire's thousandths of an ohm across it leave it this share of its say.
constexpr double kMoves = 1e-7;

bool moves_the_plug(const Harness& harness, const Setting& setting, const std::string& pickup) {
  State state;
  state.setting = setting;
  const Circuit circuit = circuit_of(harness, state);
  std::vector<Resistor> resistors = resistors_at(circuit, Corner::Nominal);
  const auto at_plug = [&] {
    return network_at(circuit, resistors)
        .resistance(harness.find_point("jack.plug-tip")->index,
                    harness.find_point("jack.plug-sleeve")->index);
  };
  const auto before = at_plug();
  for (std::size_t i = 0; i < resistors.size(); ++i) {
    const Element& element = harness[circuit.branches[i].element];
    if (element.kind == ElementKind::Coil && harness[*element.part].name == pickup) resistors[i].ohms *= 2;
  }
  const auto after = at_plug();
  return before && std::abs(*after - *before) > kMoves * *before && *before > 1;
}

bool heard_somewhere(const Harness& harness, const std::string& pickup) {
  const std::vector<Setting> settings = every_setting(harness);
  return std::any_of(settings.begin(), settings.end(),
                     [&](const Setting& setting) { return moves_the_plug(harness, setting, pickup); });
}

bool said_silent(const std::vector<Diagnostic>& warnings, const std::string& pickup) {
  return std::any_of(warnings.begin(), warnings.end(), [&](const Diagnostic& warning) {
    return warning.code == "W101" && warning.message.rfind("'" + pickup + "'", 0) == 0;
  });
}

// Whether a lug has solder on it.
bool soldered(const Harness& harness, PointId lug) {
  return std::any_of(harness.blobs().begin(), harness.blobs().end(), [&](const Blob& blob) {
    return blob.surface == lug || std::find(blob.leads.begin(), blob.leads.end(), lug) != blob.leads.end();
  });
}

bool is_blank(const Harness& harness, PartId part, std::uint16_t place) {
  bool touches = false;
  for (const Element& element : harness.elements()) {
    if (element.when != Conducts::InPositions || element.part != part) continue;
    if (std::count(element.closed_in.begin(), element.closed_in.end(), place) == 0) continue;
    touches = true;
    if (!soldered(harness, element.a) || !soldered(harness, element.b)) return true;
  }
  return !touches;
}

// Silent whatever the other switches do, and the hot not put on ground in any of it.
bool silent_at(const Harness& harness, PartId part, std::uint16_t place) {
  const std::vector<Setting> settings = every_setting(harness);
  return std::all_of(settings.begin(), settings.end(), [&](const Setting& setting) {
    if (setting.position(part) != place) return true;
    State state;
    state.setting = setting;
    const Circuit circuit = circuit_of(harness, state);
    const auto at_plug = network_at(circuit, resistors_at(circuit, Corner::Nominal))
                             .resistance(harness.find_point("jack.plug-tip")->index,
                                         harness.find_point("jack.plug-sleeve")->index);
    if (at_plug && *at_plug <= 1) return false;
    return !moves_the_plug(harness, setting, "front") && !moves_the_plug(harness, setting, "rear");
  });
}

// In how many positions of a switch something sounds, or is put on ground.
std::size_t sounding(const Harness& harness, PartId part) {
  std::size_t count = 0;
  for (std::uint16_t place = 0; place < harness[part].positions.size(); ++place)
    count += silent_at(harness, part, place) ? 0 : 1;
  return count;
}

}  // namespace

TEST_CASE("a switch position is called silent just where no pickup moves the reading at the plug there",
          "[check]") {
  int warned = 0;
  int sounds = 0;
  for (unsigned seed = 0; seed < 12000; ++seed) {
    const Harness harness = random_harness(seed, Wiring::EveryLug);
    const std::vector<Diagnostic> warnings = warnings_of(harness, "random.yaml");
    const bool shorted = std::any_of(warnings.begin(), warnings.end(), [](const Diagnostic& warning) {
      return warning.message.rfind("with the volume up the hot is on ground", 0) == 0;
    });
    if (shorted || said_silent(warnings, "front") || said_silent(warnings, "rear")) continue;
    for (PartId control : harness.controls()) {
      const Part& part = harness[control];
      if (part.kind != PartKind::Switch) continue;
      for (std::uint16_t place = 0; place < part.positions.size(); ++place) {
        const std::string says = "'" + part.name + "' is silent at '" + part.positions[place].name + "'";
        const bool said = std::any_of(warnings.begin(), warnings.end(), [&](const Diagnostic& warning) {
          return warning.code == "W120" && warning.message.rfind(says, 0) == 0;
        });
        INFO("seed " << seed << ", " << says);
        CHECK(said == (silent_at(harness, control, place) && !is_blank(harness, control, place) &&
                       sounding(harness, control) >= 2));
        ++(said ? warned : sounds);
      }
    }
  }
  CHECK(warned > 10);
  CHECK(sounds > 100);
}

TEST_CASE("what may be heard though no ohmmeter sees it, and what mutes, is not called a silent position",
          "[check]") {
  const std::string head =
      "lugwise: 1\nname: x\nparts:\n  front: {kind: pickup, dcr: 6k}\n  rear: {kind: pickup, dcr: 6k}\n"
      "  jack: {kind: jack}\n  volume: {kind: pot, track: 250k}\n";
  const char* const cases[] = {
      // one position goes on through a capacitor
      "  s: {kind: switch, lugs: [in, f, r, thin], positions: {front: [[in, f]], rear: [[in, r]], thin: "
      "[[in, thin]]}}\n"
      "  cap: {kind: capacitor, value: 2.2n}\njoints:\n  - [s.f, front.hot]\n  - [s.r, rear.hot]\n  - "
      "[s.thin, cap.1]\n"
      "  - [s.in, volume.3]\n  - [jack.sleeve, front.ground, rear.ground, volume.1]\n"
      "wires:\n  - [volume.2, jack.tip]\n  - [cap.2, front.hot]\n",
      // a module is on one
      "  s: {kind: switch, lugs: [out, f, r, p], positions: {front: [[out, f]], rear: [[out, r]], piezo: "
      "[[out, p]]}}\n"
      "  piezo: {kind: module, points: [out, ground]}\njoints:\n  - [s.f, front.hot]\n  - [s.r, rear.hot]\n"
      "  - [s.out, volume.3]\n  - [jack.sleeve, front.ground, rear.ground, volume.1, piezo.ground]\n"
      "wires:\n  - [volume.2, jack.tip]\n  - [piezo.out, s.p]\n",
      // one of two grounds the hot before the volume
      "  s: {kind: switch, lugs: [a, b, c], positions: {on: [[a, b]], off: [[b, c]]}}\njoints:\n"
      "  - [front.hot, rear.hot, volume.3, s.b]\n  - [jack.sleeve, front.ground, rear.ground, volume.1, "
      "s.c]\n"
      "wires:\n  - [volume.2, jack.tip]\n  - [s.a, volume.3]\n"};
  for (const char* rest : cases) {
    INFO(rest);
    const Harness harness = test::harness_from(head + rest);
    for (const Diagnostic& warning : warnings_of(harness, "x.yaml")) CHECK(warning.code != "W120");
  }
}

TEST_CASE("a pickup is called silent just where no setting lets it move the reading at the plug", "[check]") {
  int heard = 0;
  int silent = 0;
  for (unsigned seed = 0; seed < 3000; ++seed) {
    const Harness harness = random_harness(seed);
    const std::vector<Diagnostic> warnings = warnings_of(harness, "random.yaml");
    // Where every jack is shorted for good that is the warning.
    const bool shorted = std::any_of(warnings.begin(), warnings.end(), [](const Diagnostic& warning) {
      return warning.message.rfind("with the volume up the hot is on ground", 0) == 0;
    });
    if (shorted) continue;
    for (const std::string pickup : {"front", "rear"}) {
      const bool really = heard_somewhere(harness, pickup);
      INFO("seed " << seed << ", " << pickup);
      CHECK(said_silent(warnings, pickup) == !really);
      ++(really ? heard : silent);
    }
  }
  // Both answers have been asked for.
  CHECK(heard > 100);
  CHECK(silent > 100);
}
