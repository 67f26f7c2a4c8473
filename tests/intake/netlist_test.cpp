// What a netlist says arrives in the harness.

#include "intake/netlist.h"

#include <algorithm>
#include <string>

#include "harness/builder.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

using test::harness_from;
using test::netlist_from;

const Element& coil_of(const Harness& harness, std::size_t which = 0) {
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Coil && which-- == 0) return element;
  }
  throw std::logic_error("no such coil");
}

std::vector<std::string> names_of(const Harness& harness, const std::vector<PointId>& points) {
  std::vector<std::string> names;
  for (const PointId id : points) names.push_back(harness[id].name);
  return names;
}

std::vector<std::string> points_of(const Harness& harness, std::string_view part) {
  return names_of(harness, harness[harness.find_part(part).value()].points);
}

using Names = std::vector<std::string>;

// What reading a text says: all messages in one line each, without places.
std::string complaint(const std::string& text) {
  Diagnostics diagnostics("test.yaml");
  const auto netlist = read_netlist("lugwise: 1\n" + text, diagnostics);
  std::string said;
  for (const Diagnostic& one : diagnostics.sorted()) {
    said += one.code + " " + one.message;
    for (const Note& note : one.notes) said += " | " + note.message;
    said += "\n";
  }
  CHECK(netlist.has_value() != diagnostics.failed());
  return said;
}

TEST_CASE("the trade's other words are known for what they are called here", "[intake]") {
  const auto hint = [](const std::string& text) {
    const std::string said = complaint(text);
    return said.substr(std::min(said.find(" | "), said.size()));
  };
  CHECK(hint("parts: {v: {kind: potentiometer, track: 250k}}") == " | nearest name is 'pot'\n");
  CHECK(hint("parts: {v: {kind: humbucker, dcr: 8k}}") == " | nearest name is 'pickup'\n");
  CHECK_THAT(complaint("parts: {v: {kind: pickup, resistance: 8k}}"),
             Catch::Matchers::ContainsSubstring("has no key 'resistance' | nearest key is 'dcr'\n"));
  CHECK_THAT(complaint("parts: {v: {kind: pot, value: 250k}}"),
             Catch::Matchers::ContainsSubstring("has no key 'value' | nearest key is 'track'\n"));
  CHECK(hint("parts: {v: {kind: pot, track: 250k}}\ntemp: 20") == " | nearest key is 'temperature'\n");
  const std::string parts = "parts: {volume: {kind: pot, track: 250k}, jack: {kind: jack}}\njoints: ";
  CHECK(hint(parts + "[[vol.1, jack.tip]]") == " | nearest name is 'volume.1', declared\n");
  CHECK(hint(parts + "[[volume.1, jack.hot]]") == " | nearest name is 'jack.tip', declared\n");
}

TEST_CASE("a netlist without its first line is told its other problems too", "[intake]") {
  const auto codes = [](const std::string& text) {
    Diagnostics diagnostics("test.yaml");
    CHECK_FALSE(read_netlist(text, diagnostics));
    std::string said;
    for (const Diagnostic& one : diagnostics.sorted()) said += one.code + " ";
    return said;
  };
  CHECK(codes("parts: {v: {kind: pott, track: 250k}}") == "N116 N202 ");
  CHECK(codes("name: x") == "N116 ");  // anything
}

TEST_CASE("a bracket left open is found where it was opened", "[intake]") {
  const std::string parts = "parts: {volume: {kind: pot, track: 250k}, jack: {kind: jack}}\n";
  for (const char* rest : {"joints:\n  - [volume.2, jack.tip\nwires:\n  - [volume.1, jack.sleeve]\n",
                           "joints:\n  - [volume.2, jack.tip\n  - [volume.1, jack.sleeve]\n"}) {
    Diagnostics diagnostics("test.yaml");
    CHECK_FALSE(read_netlist("lugwise: 1\n" + parts + rest, diagnostics));
    REQUIRE(diagnostics.list().size() == 1);
    CHECK(diagnostics.list()[0].code == "N106");
    CHECK(diagnostics.list()[0].at.line == 4);
    CHECK(diagnostics.list()[0].at.column == 5);
  }
}

const std::string kParts = R"(parts:
  front: {kind: pickup, dcr: 6.2k}
  volume: {kind: pot, track: 250k}
  tone: {kind: pot, track: 250k}
  jack: {kind: jack}
  hardware: {kind: metal, points: [bridge, strings]}
)";

TEST_CASE("the everyday harness arrives whole", "[intake]") {
  const Netlist netlist = test::netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  CHECK(harness.name == "Fernhollow 2");
  CHECK(harness.about.starts_with("two single coils"));
  CHECK(harness.parts().size() == 8);
  CHECK(harness.wires().size() == 5);
  CHECK(netlist.id.size() == 12);
  CHECK_FALSE(netlist.meter);
  CHECK_FALSE(netlist.temperature);
  // 6.9k within 8 %, as typed; 6.2k within the usual 10 %.
  CHECK(coil_of(harness, 0).ohms == around(6200, 0.10));
  CHECK(coil_of(harness, 1).ohms == around(6900, 0.08));
  const Part& selector = harness[*harness.find_part("selector")];
  REQUIRE(selector.positions.size() == 3);
  CHECK(selector.positions[1].name == "both");
  CHECK(names_of(harness, selector.positions[1].groups.at(0)) ==
        Names{"selector.f", "selector.r", "selector.out"});
  const Wire& ground = harness.wires()[3];
  CHECK(ground.name == "string ground");
  CHECK(ground.colour == "black");
  CHECK(ground.gauge == 22.0);
  CHECK(ground.length == 0.3);
  CHECK(ground.legs.size() == 1);
  CHECK(harness[*harness.find_point("hardware.bridge>volume.case")].reach.kind == ReachKind::Hidden);
  CHECK(harness[*harness.find_point("jack.plug-tip")].reach.kind == ReachKind::Outside);
  REQUIRE(harness.find_stage("bench"));
  CHECK(harness.find_stage("bench")->without == std::vector<PartId>{*harness.find_part("hardware")});
}

TEST_CASE("words that YAML takes for something else are names", "[intake]") {
  const Harness harness = harness_from(R"(
name: 1.50
about: yes
parts:
  on: {kind: switch, lugs: [1, yes, null, 0x1, 010], positions: {off: [], no: [[1, yes]], 010: [[null, 1]]}}
  true: {kind: metal, points: [false, Null, 1e3]}
)");
  CHECK(harness.name == "1.50");
  CHECK(harness.about == "yes");
  CHECK(points_of(harness, "on") == Names{"on.1", "on.yes", "on.null", "on.0x1", "on.010"});
  CHECK(points_of(harness, "true") == Names{"true.false", "true.Null", "true.1e3"});
  const Part& on = harness[*harness.find_part("on")];
  CHECK(on.positions[0].name == "off");
  CHECK(on.positions[1].name == "no");
  CHECK(on.positions[2].name == "010");
}

TEST_CASE("quotes, blocks, comments and line ends of any kind make no difference", "[intake]") {
  const std::string flow = "lugwise: 1\nname: A B\nparts: {volume: {kind: pot, track: 4k7}}\n";
  const std::string block =
      "\xEF\xBB\xBF# a comment\r\nlugwise: '1'\r\n\"name\": >-\r\n  A\r\n  B\r\nparts:\r\n  volume:   # the "
      "big one\r\n    kind: \"pot\"\r\n    track: 4k7\r\n";
  std::string old = block;
  old.erase(std::remove(old.begin(), old.end(), '\n'), old.end());  // a lone CR ends each line
  for (const std::string& text : {flow, block, old, "---\n" + flow + "...\n"}) {
    const Harness harness = harness_from(text);
    CHECK(harness.name == "A B");
    CHECK(harness[harness[*harness.find_part("volume")].pot->track_element].ohms.nominal == 4700);
  }
}

TEST_CASE("a pickup's ends are called by its leads", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  plain: {kind: pickup, dcr: 6k}
  covered: {kind: pickup, dcr: 6k, shield: true}
  dyed: {kind: pickup, dcr: 6k, leads: {white: hot, black: ground}}
  twin:
    kind: pickup
    coils: {slug: 3.7k, screw: 3.8k}
    shield: true
    leads: {red: slug-start, bare: shield}
    inside: [[slug-finish, screw-finish], [screw-start, shield]]
)");
  CHECK(points_of(harness, "plain") == Names{"plain.hot", "plain.ground"});
  CHECK(points_of(harness, "covered") == Names{"covered.hot", "covered.ground", "covered.shield"});
  CHECK(points_of(harness, "dyed") == Names{"dyed.white", "dyed.black"});
  CHECK_FALSE(harness.find_point("dyed.hot"));
  CHECK_FALSE(harness.find_point("twin.slug-start"));
  CHECK(harness.probeable(*harness.find_point("twin.red")));
  for (const char* buried : {"twin.slug-finish", "twin.screw-finish", "twin.screw-start"}) {
    CHECK(harness[*harness.find_point(buried)].role == PointRole::Inside);
    CHECK_FALSE(harness.probeable(*harness.find_point(buried)));
  }
}

TEST_CASE("pots say their taper, their normal place, and whose shaft they are on", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  rear: {kind: pot, track: 250k, taper: [0%, 100%, 100%], gang: blend}
  blend: {kind: pot, track: 250k, taper: [0%, 0%, 100%], normal: 5, tolerance: 10%}
  a: {kind: pot, track: 0.5M, taper: audio, no-load: true}
  b: {kind: pot, track: 500K, taper: reverse-audio, no-load: false}
  c: {kind: pot, track: 500 kΩ, taper: linear}
  d: {kind: pot, track: 500000}
)");
  const auto pot = [&](std::string_view name) { return *harness[*harness.find_part(name)].pot; };
  CHECK(pot("rear").gang == harness.find_part("blend"));  // although it comes later
  CHECK(pot("rear").shares == std::vector<double>{0, 1, 1});
  CHECK_FALSE(harness.find_point("rear.case"));
  CHECK(pot("blend").normal == 5);
  CHECK(pot("blend").track == around(250e3, 0.10));
  CHECK(pot("a").taper == Taper::Audio);
  CHECK(pot("a").no_load);
  CHECK(pot("b").taper == Taper::ReverseAudio);
  CHECK_FALSE(pot("b").no_load);
  CHECK(pot("c").taper == Taper::Linear);
  CHECK(pot("d").taper == Taper::Unknown);
  CHECK(pot("d").normal == 10);
  for (const char* name : {"a", "b", "c", "d"}) CHECK(pot(name).track == around(500e3, 0.20));
  CHECK(harness.controls().size() == 5);
}

TEST_CASE("jacks have the contacts and rests given, and always the far end of a plug", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  mono: {kind: jack}
  stereo: {kind: jack, contacts: [tip, ring, sleeve]}
  switched: {kind: jack, contacts: [tip, sleeve], rests: {tip: tip-rest, sleeve: s}}
)");
  CHECK(points_of(harness, "mono") == Names{"mono.tip", "mono.sleeve", "mono.plug-tip", "mono.plug-sleeve"});
  CHECK(points_of(harness, "stereo") ==
        Names{"stereo.tip", "stereo.ring", "stereo.sleeve", "stereo.plug-tip", "stereo.plug-sleeve"});
  CHECK(points_of(harness, "switched") == Names{"switched.tip", "switched.sleeve", "switched.tip-rest",
                                                "switched.s", "switched.plug-tip", "switched.plug-sleeve"});
}

TEST_CASE("the small parts carry their values and the tolerance of their kind", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  r: {kind: resistor, value: 4R7}
  s: {kind: resistor, value: 150k, tolerance: 1%}
  c: {kind: capacitor, value: 0.022u}
  b: {kind: battery, voltage: 9}
  m: {kind: module, points: [in, out, ground]}
  claw: {kind: metal, points: [claw, springs]}
)");
  const auto part = [&](std::string_view name) { return harness[*harness.find_part(name)]; };
  CHECK(part("r").value == 4.7);
  CHECK(part("r").tolerance == 0.05);
  CHECK(part("s").tolerance == 0.01);
  CHECK(part("c").value == 0.022e-6);
  CHECK(part("c").tolerance == 0.20);
  CHECK(part("b").value == 9.0);
  CHECK(points_of(harness, "b") == Names{"b.plus", "b.minus"});
  CHECK(points_of(harness, "m") == Names{"m.in", "m.out", "m.ground"});
  CHECK(points_of(harness, "claw") == Names{"claw.claw", "claw.springs"});
}

TEST_CASE("defaults replace what sound parts may show", "[intake]") {
  const Harness harness = harness_from(R"(
defaults: {joint: 0.02, wire: 0.2, contact: 1, end: 1%, tolerance: {pickup: 4%, pot: 5%, resistor: 1%, capacitor: 10%}}
parts:
  front: {kind: pickup, dcr: 6k}
  volume: {kind: pot, track: 250k}
  jack: {kind: jack}
wires:
  - [volume.2, jack.tip]
)");
  CHECK(coil_of(harness).ohms == around(6000, 0.04));
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Joint) CHECK(element.ohms.high == 0.02);
    if (element.kind == ElementKind::Wire) CHECK(element.ohms.high == 0.2);
    if (element.kind == ElementKind::Contact) CHECK(element.ohms.high == 1);
    if (element.kind == ElementKind::Track) CHECK(element.ohms == around(250e3, 0.05));
    if (element.kind == ElementKind::Wiper) CHECK(element.ohms.high == 2500);
  }
}

TEST_CASE("wires name the bare wire at each of their ends", "[intake]") {
  const Harness harness = harness_from(kParts + R"(
wires:
  - {name: chain, run: [volume.case, tone.case, jack.sleeve], gauge: 22 AWG, length: 9.5 in}
  - {run: [volume.2, jack.tip], braid: [volume.case, free], colour: white}
  - {name: bus, run: [hardware.bridge, volume.case, tone.case], uncut: true, pressed: hardware.bridge}
)");
  for (const char* name :
       {"tone.case>jack.sleeve", "jack.sleeve>tone.case", "volume.case>free", "free>volume.case",
        "hardware.bridge>volume.case", "volume.case>hardware.bridge", "chain:volume.case>tone.case",
        "bus:volume.case>tone.case", "bus:tone.case>volume.case", "chain:tone.case>jack.sleeve"}) {
    CAPTURE(name);
    CHECK(harness.find_point(name));
  }
  CHECK_FALSE(harness.find_point("volume.case>tone.case"));  // two wires: which is not said
  // An uncut wire is one piece: the bare wire at its middle point answers to both names.
  CHECK(harness.find_point("bus:volume.case>hardware.bridge") ==
        harness.find_point("bus:volume.case>tone.case"));
  CHECK(harness.find_point("chain:tone.case>volume.case") !=
        harness.find_point("chain:tone.case>jack.sleeve"));
  CHECK(harness.wires()[0].length == 0.2413);
  CHECK(harness.wires()[1].colour == "white");
  const auto pressed = std::count_if(harness.elements().begin(), harness.elements().end(),
                                     [](const Element& e) { return e.pressed; });
  CHECK(pressed == 1);
}

TEST_CASE("joints and touches are what the entries say", "[intake]") {
  const Harness harness = harness_from(kParts + R"(
wires:
  - [volume.case, jack.sleeve]
joints:
  - [volume.case, front.ground, volume.1, volume.case>jack.sleeve]
touches:
  - [hardware.bridge, tone.case, jack.sleeve]
  - {points: [hardware.strings, volume.case], closed: true}
  - {points: [hardware.strings, tone.case], closed: false}
)");
  const Blob& blob = harness.blobs().front();
  CHECK(harness[blob.surface].name == "volume.case");
  CHECK(names_of(harness, blob.leads) == Names{"front.ground", "volume.1", "volume.case>jack.sleeve"});
  std::vector<std::string> touches;
  for (const Element& element : harness.elements()) {
    if (!element.pressed) continue;
    touches.push_back(harness[element.a].name + "-" + harness[element.b].name +
                      (element.when == Conducts::CavityClosed ? " closed" : ""));
  }
  CHECK(touches == Names{"hardware.bridge-tone.case", "hardware.bridge-jack.sleeve",
                         "hardware.strings-volume.case closed", "hardware.strings-tone.case"});
}

TEST_CASE("reach is given to parts, points and wire ends, in either place", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  volume: {kind: pot, track: 250k, reach: hidden}
  jack: {kind: jack}
  hardware: {kind: metal, points: [claw, bridge, strings]}
wires:
  - [volume.case, hardware.claw]
reach: {jack: jack-plate, hardware.claw: springs, hardware.claw>volume.case: springs, volume.2: outside, hardware.bridge: cavity}
)");
  const auto reach = [&](std::string_view point) { return harness[*harness.find_point(point)].reach; };
  CHECK(reach("volume.1") == Reach{ReachKind::Hidden, ""});
  CHECK(reach("volume.2") == Reach{ReachKind::Outside, ""});
  CHECK(reach("jack.tip") == Reach{ReachKind::Cover, "jack-plate"});
  CHECK(reach("jack.plug-tip") == Reach{ReachKind::Outside, ""});
  CHECK(reach("hardware.claw") == Reach{ReachKind::Cover, "springs"});
  CHECK(reach("hardware.claw>volume.case") == Reach{ReachKind::Cover, "springs"});
  CHECK(reach("hardware.bridge") == Reach{ReachKind::Cavity, ""});
  CHECK(reach("hardware.strings") == Reach{ReachKind::Outside, ""});
}

TEST_CASE("stages leave parts out, and a gang goes with its pot", "[intake]") {
  const Harness harness = harness_from(R"(
parts:
  blend: {kind: pot, track: 250k}
  half: {kind: pot, track: 250k, gang: blend}
  jack: {kind: jack}
stages:
  bench: {without: [blend]}
  all: {without: []}
  one: {without: jack}
)");
  CHECK(harness.stages().size() == 3);
  CHECK(harness.find_stage("bench")->without.size() == 2);
  CHECK(harness.find_stage("all")->without.empty());
  CHECK(harness.find_stage("one")->without.size() == 1);
}

TEST_CASE("a netlist may name the meter and the temperature", "[intake]") {
  const Netlist netlist = netlist_from(kParts + "meter: {counts: 1999, leads: 0.3}\ntemperature: 21.5 °C\n");
  REQUIRE(netlist.meter);
  CHECK(netlist.meter->counts == 2000);  // up to 1999 are two thousand
  CHECK(netlist.meter->leads_low == 0.3);
  CHECK(netlist.meter->leads_high == 0.3);
  CHECK(netlist.temperature == 21.5);
}

TEST_CASE("a netlist's id follows its text", "[intake]") {
  const std::string a = "lugwise: 1\n" + kParts;
  CHECK(netlist_from(a).id == netlist_from(a).id);
  CHECK(netlist_from(a).id != netlist_from(a + "name: x\n").id);
}

TEST_CASE("an unknown name comes with the nearest one, or with what to choose from", "[intake]") {
  CHECK(complaint(kParts + "wires: [[volume.2, jack.tpi]]\n") ==
        "N204 no such point: 'jack.tpi' | nearest name is 'jack.tip', declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, jakc.tip]]\n") ==
        "N204 no such point: 'jakc.tip' | nearest name is 'jack.tip', declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, JACK.tip]]\n") ==
        "N204 no such point: 'JACK.tip' | nearest name is 'jack.tip', declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, Jack.tip]]\n") ==
        "N204 no such point: 'Jack.tip' | nearest name is 'jack.tip', declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, jack.output]]\n") ==
        "N204 no such point: 'jack.output' | the points of 'jack' are tip, sleeve, plug-tip, plug-sleeve; it "
        "is declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, jack]]\n") ==
        "N204 no such point: 'jack' | that is a part; its points are jack.tip, jack.sleeve, jack.plug-tip, "
        "jack.plug-sleeve; it is declared\n");
  CHECK(complaint(kParts + "wires: [[volume.2, earth]]\n") ==
        "N204 no such point: 'earth' | a point is written 'part.point'\n");
  CHECK(complaint(kParts + "stages: {bench: {without: [hardwar]}}\n") ==
        "N203 no such part: 'hardwar' | nearest name is 'hardware', declared\n");
  CHECK(complaint("parts: {p: {kind: pickup, dcr: 6k, leads: {white: hot, black: ground}}, j: {kind: "
                  "jack}}\nwires: [[p.hot, j.tip]]\n") ==
        "N204 no such point: 'p.hot' | that end's lead is 'p.white', declared\n");
  CHECK(complaint("parts: {a: {kind: pot, track: 1k}, b: {kind: pot, track: 1k, gang: a}}\nwires: [[a.1, "
                  "b.case]]\n") ==
        "N204 no such point: 'b.case' | it is in the case of 'a': 'a.case', declared\n");
}

TEST_CASE("an unknown wire end comes with the wires that are there", "[intake]") {
  const std::string wires = kParts +
                            "wires:\n  - [volume.case, tone.case]\n  - {name: spare, run: [tone.case, "
                            "volume.case]}\n  - [volume.2, jack.tip]\n";
  CHECK(complaint(wires + "reach: {volume.case>tone.case: hidden}\n") ==
        "N208 more than one wire joins these points: 'volume.case>tone.case' | write "
        "'wire-1:volume.case>tone.case' or 'spare:volume.case>tone.case'\n");
  CHECK(
      complaint(wires + "reach: {volume.2>jack.sleeve: hidden}\n") ==
      "N204 no such wire end: 'volume.2>jack.sleeve' | the wire ends at 'volume.2' are volume.2>jack.tip\n");
  CHECK(complaint(wires + "reach: {tone.1>jack.tip: hidden}\n") ==
        "N204 no such wire end: 'tone.1>jack.tip' | no wire joins 'tone.1' and 'jack.tip' directly\n");
  CHECK(
      complaint(wires + "reach: {other:volume.2>jack.tip: hidden}\n") ==
      "N204 no such wire end: 'other:volume.2>jack.tip' | that wire end is 'volume.2>jack.tip', declared\n");
  CHECK(complaint(wires + "reach: {volum.2>jack.tip: hidden}\n") ==
        "N204 no such point: 'volum.2' | nearest name is 'volume.2', declared\n");
}

TEST_CASE("what only follows from another problem is not reported", "[intake]") {
  // A part that can't be read takes nothing with it.
  CHECK(complaint("parts:\n  p: {kind: pikup, dcr: 6k}\n  v: {kind: pot, track: 1k}\n"
                  "joints: [[v.3, p.hot], [v.case, p.ground]]\nwires: [[p.hot, v.2]]\nreach: {p: hidden, "
                  "p.hot>v.2: hidden}\n"
                  "stages: {bench: {without: [p]}}\n") ==
        "N202 no such kind: 'pikup' | nearest name is 'pickup'\n");
  // A wrong value leaves the part's points known, so a wrong point on it still shows.
  CHECK(complaint("parts:\n  v: {kind: pot, track: 1m}\n  w: {kind: pot, track: 1k}\nwires: [[v.2, w.2], "
                  "[v.5, w.1]]\n") ==
        "N301 not a resistance: '1m' | 'm' is a thousandth: did you mean '1M'?\n"
        "N204 no such point: 'v.5' | the points of 'v' are 1, 2, 3, case; it is declared\n");
  CHECK(complaint("parts: [a, b]\nwires: [[a.1, b.1]]\n") ==
        "N111 'parts' must be a map of 'key: value', not a list\n");
}

TEST_CASE("a large netlist reads", "[intake]") {
  // Not timed; it is here because a reader that is not linear would not come back.
  std::string text = "lugwise: 1\nparts:\n";
  for (int i = 0; i < 5000; ++i) text += "  p" + std::to_string(i) + ": {kind: pot, track: 250k}\n";
  text += "wires:\n";
  for (int i = 0; i < 20000; ++i) {
    const std::string lug = std::string(1, "123c"[i / 5000]) + (i / 5000 == 3 ? "ase" : "");
    text += "  - [p" + std::to_string(i % 5000) + "." + lug + ", p" + std::to_string((i + 1) % 5000) + "." +
            lug + "]\n";
  }
  Diagnostics diagnostics("large.yaml");
  const auto netlist = read_netlist(text, diagnostics);
  REQUIRE(netlist);
  CHECK(netlist->harness.wires().size() == 20000);
}

}  // namespace
}  // namespace lugwise
