// What a readings file says arrives in the sheet.

#include "intake/readings.h"

#include <string>

#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

const Netlist& fernhollow_2() {
  static const Netlist netlist = test::netlist_of("harnesses/fernhollow-2.yaml");
  return netlist;
}

PartId part(std::string_view name) { return *fernhollow_2().harness.find_part(name); }
PointId point(std::string_view name) { return *fernhollow_2().harness.find_point(name); }

Sheet sheet_of(const std::string& text) { return test::sheet_from(text, fernhollow_2()); }

std::string complaint(const std::string& text, const Netlist& netlist = fernhollow_2()) {
  Diagnostics diagnostics("readings.yaml");
  const auto sheet = read_sheet("lugwise-readings: 1\n" + text, netlist, diagnostics);
  std::string said;
  for (const Diagnostic& one : diagnostics.sorted()) {
    said += one.code + " " + one.message;
    for (const Note& note : one.notes) said += " | " + note.message;
    said += "\n";
  }
  CHECK(sheet.has_value() != diagnostics.failed());
  return said;
}

TEST_CASE("an end of a sweep may be on a range of its own", "[intake]") {
  const std::string sweep =
      "readings:\n  - {sweep: volume, between: [volume.1, volume.2], reads: smooth, ends: ";
  const Sheet sheet = sheet_of(sweep + "[0.251M, 0.3 on 200], range: 2M}\n");
  REQUIRE(sheet.entries[0].ends.size() == 2);
  CHECK(!sheet.entries[0].ends[0].range);
  CHECK(sheet.entries[0].ends[1].range->top == 200);
  CHECK(sheet.entries[0].ends[1].value == 0.3);
  CHECK(sheet.entries[0].ends[1].text == "0.3");
  CHECK(complaint(sweep + "[0.251M, 0.3], range: 2M}\n") ==
        "R302 '0.3' is finer than the 2M range shows | an end may be on a range of its own: '0.3 on 200'\n");
  CHECK(complaint(sweep + "[0.251M, 0.3 on 300], range: 2M}\n") == "R304 the meter has no range of 300\n");
}

TEST_CASE("a reading finer than its range is offered the range that shows it", "[intake]") {
  CHECK(complaint("readings: [{between: [front.hot, front.ground], reads: 6.7k, range: 2M}]") ==
        "R302 '6.7k' is finer than the 2M range shows | if it was read on another range: 'range: 20k'\n");
}

TEST_CASE("what else a reading may say fits what was done", "[intake]") {
  const auto hint = [](const std::string& entry) {
    const std::string said = complaint("plan: {id: 7c1e03}\nreadings: [{" + entry + "}]");
    return said.substr(std::min(said.find(" | "), said.size()));
  };
  CHECK(hint("wiggle: [volume.case], between: [volume.1, volume.3], reads: good") ==
        " | a wiggle reads 'steady' or 'unstable'\n");
  CHECK(hint("sweep: volume, between: [volume.1, volume.2], reads: good") ==
        " | a sweep reads 'smooth' or 'jumps'\n");
  CHECK_THAT(hint("step: 11, reads: good"),
             Catch::Matchers::ContainsSubstring("of a sweep 'smooth' or 'jumps', of a wiggle 'steady' or"));
}

TEST_CASE("what was heard may be put aside", "[intake]") {
  const Sheet sheet = sheet_of("heard:\n  - {pickup: front, is: silent, aside: repair 1}\n  - {is: weak}\n");
  CHECK(sheet.heard[0].aside == mended_by(1));
  CHECK(sheet.heard[1].aside == Aside{});
}

TEST_CASE("a readings file without its first line is told its other problems too", "[intake]") {
  Diagnostics diagnostics("readings.yaml");
  CHECK_FALSE(read_sheet("readings: [{between: [front.hot, front.grund], reads: 6.7k}]", fernhollow_2(),
                         diagnostics));
  REQUIRE(diagnostics.sorted().size() == 2);
  CHECK(diagnostics.sorted()[0].code == "R101");
}

TEST_CASE("a sheet arrives whole", "[intake]") {
  const Sheet sheet = sheet_of(R"(
harness: fernhollow-2.yaml
plan: {id: 7C1E03, stage: bench, depth: outside}
meter: {counts: 6000, auto: true, leads: 0, cable: 0.4}
temperature: 24 °C
readings:
  - {step: 1, reads: 6.71k}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front, volume: 10, jack: in}, reads: OL, range: 60k}
  - {between: [volume.1, volume.3], lifted: [volume.3>selector.out, front.hot], reads: 251k}
  - {sweep: volume, between: [volume.1, volume.2], reads: jumps}
  - {wiggle: [volume.case], between: [volume.case, jack.sleeve], reads: steady}
  - {step: 9, reads: smooth}
heard:
  - {pickup: front, set: {selector: front}, is: silent}
  - {is: buzzes-until-touched}
)");
  CHECK(sheet.harness_file == "fernhollow-2.yaml");
  REQUIRE(sheet.plan);
  CHECK(sheet.plan->id == "7c1e03");
  CHECK(sheet.plan->stage == "bench");
  CHECK(sheet.plan->depth == Depth::Outside);
  REQUIRE(sheet.meter);
  CHECK(sheet.meter->automatic);
  CHECK(sheet.meter->leads_high == 0);
  CHECK(sheet.meter->cable == 0.4);
  CHECK(sheet.meter->ranges.front().top == 600);
  CHECK(sheet.temperature == 24.0);
  REQUIRE(sheet.entries.size() == 6);

  const Entry& step = sheet.entries[0];
  CHECK(step.step == 1);
  CHECK_FALSE(step.placed);
  CHECK_FALSE(step.set_given);
  CHECK(step.value == 6710);
  CHECK(step.resolution == 10);
  CHECK(step.text == "6.71k");

  const Entry& plugged = sheet.entries[1];
  CHECK(plugged.placed);
  CHECK(plugged.a == point("jack.plug-tip"));
  CHECK(plugged.b == point("jack.plug-sleeve"));
  CHECK(plugged.set_given);
  CHECK(plugged.setting.position(part("selector")) == 2);
  CHECK(plugged.shows == Shows::OverRange);
  CHECK(plugged.range == 60e3);

  CHECK(sheet.entries[2].lifted == std::vector<PointId>{point("volume.3>selector.out"), point("front.hot")});
  CHECK(sheet.entries[2].setting == Setting(fernhollow_2().harness));
  CHECK(sheet.entries[3].action == Action::Sweep);
  CHECK(sheet.entries[3].swept == part("volume"));
  CHECK(sheet.entries[3].shows == Shows::Jumps);
  CHECK(sheet.entries[4].action == Action::Wiggle);
  CHECK(sheet.entries[4].wiggled == std::vector<PointId>{point("volume.case")});
  CHECK(sheet.entries[4].shows == Shows::Steady);
  CHECK(sheet.entries[5].shows == Shows::Smooth);

  REQUIRE(sheet.heard.size() == 2);
  CHECK(sheet.heard[0].pickup == part("front"));
  CHECK(sheet.heard[0].sound == Sound::Silent);
  CHECK(sheet.heard[0].setting.position(part("selector")) == 2);
  CHECK_FALSE(sheet.heard[1].pickup);
  CHECK(sheet.heard[1].sound == Sound::BuzzesUntilTouched);
}

TEST_CASE("the record of a session arrives beside its readings", "[intake]") {
  const Sheet sheet = sheet_of(R"(
meter: {counts: 6000, auto: true}
readings:
  - {tips: together, reads: 0.3}
  - {between: [jack.plug-tip, jack.plug-sleeve], reads: 6.71k, range: 20k, aside: another meter, note: cold}
  - {between: [volume.case, jack.sleeve], set: {volume: 0}, skipped: no room}
  - {done: the battery is out}
  - {repaired: [volume.2, jack.tip], note: reflowed}
  - {note: it crackles}
  - {between: [jack.plug-tip, jack.plug-sleeve], reads: OL, cover: cavity}
)");
  REQUIRE(sheet.entries.size() == 7);
  const std::vector<Entry>& all = sheet.entries;
  const std::vector<EntryKind> kinds{EntryKind::Tips,   EntryKind::Reading,  EntryKind::Skipped,
                                     EntryKind::Done,   EntryKind::Repaired, EntryKind::Note,
                                     EntryKind::Reading};
  for (std::size_t i = 0; i < all.size(); ++i) {
    CHECK(all[i].kind == kinds[i]);
    CHECK(all[i].weighed() == (i == 6));
  }
  CHECK(all[0].value == 0.3);
  CHECK(all[1].aside.is(Aside::Kind::AnotherMeter));
  CHECK(all[1].note == "cold");
  CHECK(all[2].note == "no room");
  CHECK(all[2].setting.knob(part("volume")) == 0);
  CHECK(all[3].note == "the battery is out");
  CHECK(all[4].repaired == std::vector<PointId>{point("volume.2"), point("jack.tip")});
  CHECK(all[4].note == "reflowed");
  CHECK(all[5].note == "it crackles");
  CHECK(all[6].cover == "cavity");
}

TEST_CASE("what a session can't have recorded is refused", "[intake]") {
  CHECK(complaint("readings:\n  - {tips: together, reads: OL}\n") ==
        "R406 with the tips together a meter reads ohms, not 'OL'\n");
  CHECK(complaint("readings:\n  - {tips: apart, reads: 0.3}\n") ==
        "N207 'tips' must be together, not 'apart'\n");
  CHECK(complaint("readings:\n  - {done: x, repaired: [volume.2]}\n") ==
        "R409 an entry has 'done' or 'repaired', not both | 'done' is given\n");
  CHECK(complaint("readings:\n  - {done: x, reads: 0.3}\n") ==
        "R409 an entry has 'done' or 'reads', not both | 'done' is given\n");
  CHECK(complaint("readings:\n  - {note: x, between: [volume.1, volume.3]}\n") ==
        "N114 a reading needs 'reads'\n");
}

TEST_CASE("every sound has its word", "[intake]") {
  // In the order of the enumeration.
  const std::vector<std::string> words{
      "silent",        "weak",           "thin",     "crackles", "buzzes",       "buzzes-until-touched",
      "always-on",     "dead",           "quiet",    "dull",     "does-nothing", "works-backwards",
      "does-not-mute", "all-or-nothing", "scratchy", "cuts-out", "hums",         "hums-when-touched",
      "hollow",        "all-the-same",   "bleeds",   "pops",     "shock"};
  CHECK(sound_words() == words);
  for (std::size_t i = 0; i < words.size(); ++i) {
    const Sheet sheet = sheet_of("heard: [{is: " + words[i] + "}]\n");
    REQUIRE(sheet.heard.size() == 1);
    CHECK(sheet.heard[0].sound == static_cast<Sound>(i));
    CHECK_FALSE(sheet.heard[0].set_given);
  }
}

TEST_CASE("what is heard may be said of a pot or a switch, and of a setting or wherever it should sound",
          "[intake]") {
  const Sheet sheet = sheet_of("heard: [{control: tone, is: does-nothing, set: {selector: front}}]\n");
  REQUIRE(sheet.heard.size() == 1);
  CHECK(sheet.heard[0].control == part("tone"));
  CHECK(sheet.heard[0].set_given);
  CHECK(complaint("heard: [{control: jack, is: scratchy}]\n") ==
        "R203 'jack' is not a pot or switch | the pots and switches are selector, volume, tone\n");
  CHECK(complaint("heard: [{control: tome, is: scratchy}]\n") ==
        "R203 no such pot or switch: 'tome' | nearest name is 'tone'\n");
}

TEST_CASE("a reading is judged by the sheet's meter, else the netlist's, else the assumed one", "[intake]") {
  const std::string reading = "readings: [{between: [front.hot, front.ground], reads: 5.005k}]\n";
  CHECK(complaint(reading) == "R302 '5.005k' is finer than any range of the meter shows\n");
  CHECK(complaint("meter: {counts: 6000}\n" + reading).empty());
  Netlist with_meter = fernhollow_2();
  with_meter.meter = assumed_meter();
  with_meter.meter->counts = 6000;
  with_meter.meter->ranges = usual_ranges(6000, 0.01, 2);
  CHECK(complaint(reading, with_meter).empty());
  CHECK(complaint("meter: {counts: 2000}\n" + reading, with_meter) ==
        "R302 '5.005k' is finer than any range of the meter shows\n");
}

TEST_CASE("a broken meter does not make its readings wrong too", "[intake]") {
  CHECK(complaint("meter: {counts: many}\nreadings: [{between: [front.hot, front.ground], reads: 5.005k, "
                  "range: 600k}]\n") == "M301 not a number: 'many'\n");
}

TEST_CASE("a step's reading is left to the plan, which knows its range", "[intake]") {
  CHECK(complaint("plan: {id: 7c1e03}\nreadings: [{step: 1, reads: 6.71}]\n").empty());
  CHECK(complaint("plan: {id: 7c1e03}\nreadings: [{step: 1, reads: 6.71, range: 20k}]\n") ==
        "R302 '6.71' is finer than the 20k range shows | did you mean '6.71k'?\n");
}

TEST_CASE("the first lead of a splice can be lifted like the others", "[intake]") {
  const Netlist netlist = test::netlist_from(R"(
parts:
  a: {kind: pickup, dcr: 6k}
  b: {kind: pickup, dcr: 6k}
joints:
  - [a.ground, b.hot]
)");
  for (const char* lead : {"a.ground", "b.hot"}) {
    CHECK(complaint(
              "readings: [{between: [a.hot, b.ground], lifted: [" + std::string(lead) + "], reads: OL}]\n",
              netlist)
              .empty());
  }
}

TEST_CASE("all problems of a sheet show in one run", "[intake]") {
  CHECK(complaint(R"(
readings:
  - {between: [jack.tip, jack.sleve], set: {volume: 12, selecter: front}, reads: 1, range: 30k}
  - {between: [volume.1, volume.3], reads: 251k, lifted: [volume.3]}
heard:
  - {pickup: volume, is: moaning}
)") == "N204 no such point: 'jack.sleve' | nearest name is 'jack.sleeve', declared in the netlist\n"
       "R202 'volume' stands from 0 to 10, not at '12'\n"
       "R201 no such control: 'selecter' | nearest name is 'selector', declared in the netlist\n"
       "R301 not a reading: '1' | a lone 1 is how some meters say they are over their range: did you mean "
       "'OL'? one ohm is '1.0'\n"
       "R405 'volume.3' is no lead or wire end in a joint, so it can't be lifted | soldered there are "
       "volume.3>selector.out, volume.3>tone.1\n"
       "R203 'volume' is not a pickup | the pickups are front, rear\n"
       "N207 no such sound: 'moaning' | 'is' may be silent, weak, thin, crackles, buzzes, "
       "buzzes-until-touched, always-on, dead, quiet, dull, does-nothing, works-backwards, does-not-mute, "
       "all-or-nothing, scratchy, cuts-out, hums, hums-when-touched, hollow, all-the-same, bleeds, pops, "
       "shock\n");
}

TEST_CASE("a reading may be in farads, between the ends of a capacitor with a lead off", "[intake]") {
  const Sheet sheet = sheet_of(R"(
meter: {capacitance: [2n, 20n, 200n]}
readings:
  - {between: [cap.1, cap.2], lifted: [cap.1], reads: "47,2 nF"}
  - {between: [cap.2, cap.1], lifted: [cap.2], reads: OL, range: 20n}
  - {between: [cap.1, cap.2], lifted: [cap.1], reads: OL, range: 20M}
)");
  REQUIRE(sheet.entries.size() == 3);
  CHECK(sheet.entries[0].farads);
  CHECK(sheet.entries[0].value == 47.2e-9);
  CHECK_THAT(sheet.entries[0].resolution, Catch::Matchers::WithinRel(0.1e-9, 1e-12));
  CHECK_FALSE(sheet.entries[0].range);
  CHECK(sheet.entries[1].farads);
  CHECK(sheet.entries[1].range == 20e-9);
  CHECK_FALSE(sheet.entries[2].farads);
}

TEST_CASE("farads are refused where they can't have been read", "[intake]") {
  const auto with = [](const std::string& entry) {
    return complaint("meter: {capacitance: [2n, 20n, 200n]}\nreadings:\n  - {" + entry + "}\n");
  };
  const std::string off = "between: [cap.1, cap.2], lifted: [cap.1], ";
  CHECK(with(off + "reads: 47.2n").empty());
  CHECK(
      complaint("readings:\n  - {" + off + "reads: 47.2n}\n") ==
      "R304 the meter has no capacitance ranges | say which under 'meter': 'capacitance: [2n, 20n, 200n, 2u, "
      "20u]'\n");
  CHECK(with("between: [volume.1, volume.3], reads: 47.2n") ==
        "R408 farads between 'volume.1' and 'volume.3', which are not the two ends of a capacitor | a "
        "capacitor's ends are cap.1 and cap.2\n");
  CHECK(with("between: [cap.1, cap.2], reads: 47.2n") ==
        "R408 something else lies between 'cap.1' and 'cap.2', so a capacitance range reads both | lift one "
        "lead of the capacitor: 'lifted: [cap.1]'\n");
  CHECK(with(off + "reads: 47.2n, range: 20k") ==
        "R408 '47.2n' is in farads, and '20k' is a range of ohms\n");
  CHECK(with(off + "reads: 47.2, range: 200n") ==
        "R408 '47.2' is in ohms, and '200n' is a range of farads | did you mean '47.2n'?\n");
  CHECK(with(off + "reads: 47.2n, range: 400n") ==
        "R304 the meter has no capacitance range of 400n | its ranges are 2n, 20n, 200n\n");
  CHECK(with(off + "reads: 4.7u") ==
        "R303 '4.7u' is above the meter's highest capacitance range | the display says OL there\n");
  CHECK(with(off + "reads: 47.25n, range: 200n") == "R302 '47.25n' is finer than the 200n range shows\n");
  CHECK(with(off + "reads: beep, range: 200n") ==
        "R406 a capacitance range shows a value or OL, not 'beep'\n");
  CHECK(complaint(
            "plan: {id: 7c1e03}\nmeter: {capacitance: [200n]}\nreadings:\n  - {step: 2, reads: 47.2n}\n") ==
        "");
}

}  // namespace
}  // namespace lugwise
