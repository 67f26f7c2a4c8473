// What a meter file says arrives in the meter.

#include "intake/instrument.h"

#include <string>

#include "intake/netlist.h"
#include "intake/prompt_word.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

Meter meter_of(const std::string& text) {
  Diagnostics diagnostics("meter.yaml");
  const auto meter = read_meter(text, diagnostics);
  if (!meter) FAIL(render(diagnostics.list().front(), text));
  return *meter;
}

std::vector<Ohms> tops(const Meter& meter) {
  std::vector<Ohms> found;
  for (const Range& range : meter.ranges) found.push_back(range.top);
  return found;
}

TEST_CASE("a meter is read from a file of its own, with or without its heading", "[intake]") {
  const std::string keys =
      "{counts: 2000, ranges: [200, 2k, 20k], accuracy: 0.8% + 2, leads: 0.3, beeps-below: 40, cable: 0.4}\n";
  for (const std::string& text : {keys, "meter: " + keys}) {
    const Meter meter = meter_of(text);
    CHECK(meter.counts == 2000);
    CHECK(tops(meter) == std::vector<Ohms>{200, 2e3, 20e3});
    for (const Range& range : meter.ranges) {
      CHECK(range.share == 0.008);
      CHECK(range.digits == 2);
    }
    CHECK(meter.leads_low == 0.3);
    CHECK(meter.leads_high == 0.3);
    CHECK(meter.beeps_below == 40);
    CHECK(meter.cable == 0.4);
    CHECK_FALSE(meter.automatic);
    CHECK_FALSE(meter.assumed);
  }
}

TEST_CASE("what a meter file leaves out is as in the assumed meter, but its leads are not known",
          "[intake]") {
  const Meter meter = meter_of("auto: false\n");
  CHECK(meter.counts == assumed_meter().counts);
  CHECK(tops(meter) == tops(assumed_meter()));
  CHECK(meter.ranges[0].share == assumed_meter().ranges[0].share);
  CHECK(meter.ranges[0].digits == assumed_meter().ranges[0].digits);
  CHECK(meter.leads_low == 0);
  CHECK(meter.leads_high == 0.5);
}

TEST_CASE("an automatic meter's ranges follow from its counts, or from what its accuracy is given for",
          "[intake]") {
  CHECK(tops(meter_of("{counts: 6000, auto: true}")) == std::vector<Ohms>{600, 6e3, 60e3, 600e3, 6e6, 60e6});
  const Meter meter = meter_of("{counts: 4000, auto: true, accuracy: {4k: 1% + 2, 400: 1.2% + 3}}");
  CHECK(tops(meter) == std::vector<Ohms>{400, 4e3});
  CHECK(meter.ranges[0].digits == 3);
  CHECK(meter.ranges[1].share == 0.01);
}

TEST_CASE("counts are those of the display, and the number before", "[intake]") {
  CHECK(meter_of("counts: 1999").counts == 2000);
  CHECK(meter_of("counts: 3999").counts == 4000);
  CHECK(meter_of("counts: 6600").counts == 6600);
}

TEST_CASE("accuracy is written as on a meter's sheet", "[intake]") {
  for (const char* text :
       {"0.8% + 2", "0.8%+2", "±0.8% + 2", "±(0.8% + 2)", "0.8 % + 2 digits", "(0.8% + 2d)"}) {
    CAPTURE(text);
    const Meter meter = meter_of("accuracy: " + std::string(text) + "\n");
    CHECK(meter.ranges[0].share == 0.008);
    CHECK(meter.ranges[0].digits == 2);
  }
  CHECK(meter_of("accuracy: 1%").ranges[0].digits == 0);
}

// Everything a meter may say, as a file, as the netlist's block and as the readings file's: three ways to one meter.
TEST_CASE("a meter is the same in a file of its own, in a netlist and in a readings file", "[intake]") {
  const std::vector<std::string> meters{
      "{counts: 2000, ranges: [200, 2k, 20k], accuracy: 0.8% + 2, leads: 0.3, beeps-below: 40, cable: 0.4}",
      "{counts: 4000, auto: true, accuracy: {400: 1.2% + 3, 4k: 1% + 2}, leads: 0.2, beeps-below: 50, over: "
      "OL}",
      "{counts: 1999, over: '1 .', cable: 1.5, beeps-below: 35, leads: 0}",
      "{counts: 6000, ranges: [600, 6k], accuracy: {600: 0.5% + 3, 6k: 0.5% + 2}, beeps-below: 70 ohm}",
      "{}",
  };
  for (const std::string& text : meters) {
    CAPTURE(text);
    const Meter file = meter_of(text + "\n");
    const Netlist netlist = test::netlist_from("parts:\n  a: {kind: pickup, dcr: 6k}\nmeter: " + text + "\n");
    REQUIRE(netlist.meter);
    const Sheet sheet = test::sheet_from(
        "meter: " + text + "\nreadings: [{between: [a.hot, a.ground], reads: OL}]\n", netlist);
    REQUIRE(sheet.meter);
    for (const Meter& other : {*netlist.meter, *sheet.meter}) {
      CHECK(other.counts == file.counts);
      CHECK(other.automatic == file.automatic);
      CHECK(other.leads_low == file.leads_low);
      CHECK(other.leads_high == file.leads_high);
      CHECK(other.beeps_below == file.beeps_below);
      CHECK(other.cable == file.cable);
      CHECK(other.over == file.over);
      CHECK_FALSE(other.assumed);
      REQUIRE(other.ranges.size() == file.ranges.size());
      for (std::size_t i = 0; i < file.ranges.size(); ++i) {
        CHECK(other.ranges[i].top == file.ranges[i].top);
        CHECK(other.ranges[i].share == file.ranges[i].share);
        CHECK(other.ranges[i].digits == file.ranges[i].digits);
      }
    }
  }
  CHECK(meter_of(meters[1]).ranges[0].digits == 3);
  CHECK(meter_of(meters[2]).over == "1 .");
  CHECK(meter_of(meters[2]).cable == 1.5);
  CHECK(meter_of(meters[3]).beeps_below == 70);
  CHECK(meter_of(meters[4]).over == "OL");
}

// Above its range an older meter of 2000 counts shows a 1 at the left and nothing more (a teaching page, read); where a
// range has no digit after the point that is one ohm too.
TEST_CASE("a lone 1 may stand for above the range, unless the meter also shows one ohm so", "[intake]") {
  CHECK(meter_of("over: 1").over == "1");
  CHECK(meter_of("{counts: 200, ranges: [200, 2k], over: '1.'}").over == "1.");
  Diagnostics diagnostics("meter.yaml");
  CHECK_FALSE(read_meter("{counts: 200, ranges: [200, 2k], over: 1}", diagnostics));
  CHECK(diagnostics.list().front().message == "'1' is also how this meter shows one ohm");
}

TEST_CASE("what stands for above the range is no word of a session and no other reading, blanks aside",
          "[intake]") {
  for (const auto& [name, word] : kPromptWords) {
    for (const std::string& over : {std::string(name), std::string(name) + " 2k",
                                    std::string(name.substr(0, 1)) + " " + std::string(name.substr(1))}) {
      if (over.size() > 12 || name.size() < 2) continue;
      CAPTURE(over);
      Diagnostics diagnostics("meter.yaml");
      CHECK_FALSE(read_meter("over: '" + over + "'", diagnostics));
      CHECK(diagnostics.list().front().code == "M305");
      CHECK(diagnostics.list().front().notes.front().message == "that is a word of a guided session");
    }
  }
  for (const char* over : {"stop", "STOP", "q", "l", "x", "ok", "?", "+", "beep", "no beep", "nobeep",
                           "n o beep", "4 7", "4.7 k", "steady", "un stable", "1 k", " 2 "}) {
    CAPTURE(over);
    Diagnostics diagnostics("meter.yaml");
    CHECK_FALSE(read_meter(std::string("over: '") + over + "'", diagnostics));
  }
  for (const char* over : {"OL", "1 .", "1", "----", "Err", "O.L", "OFL", "over", "_ _ _"}) {
    CAPTURE(over);
    Diagnostics diagnostics("meter.yaml");
    CHECK(read_meter(std::string("over: '") + over + "'", diagnostics));
  }
}

TEST_CASE("a meter may have capacitance ranges, of one accuracy", "[intake]") {
  CHECK(meter_of("counts: 2000").capacitance.empty());
  const Meter plain = meter_of("capacitance: [2n, 20n, 0.2u]\n");
  REQUIRE(plain.capacitance.size() == 3);
  CHECK(plain.capacitance[2].top == 0.2e-6);
  CHECK(plain.capacitance[2].share == 0.04);
  CHECK(plain.capacitance[2].digits == 3);
  const Meter better = meter_of("{capacitance: [200n], capacitance-accuracy: 2% + 5}\n");
  CHECK(better.capacitance[0].share == 0.02);
  CHECK(better.capacitance[0].digits == 5);
}

TEST_CASE("capacitance ranges rise, are farads, and an accuracy needs them", "[intake]") {
  const auto refused = [](const std::string& text) {
    Diagnostics diagnostics("meter.yaml");
    CHECK_FALSE(read_meter(text, diagnostics));
    return diagnostics.list().empty() ? "" : diagnostics.list().front().code;
  };
  CHECK(refused("capacitance: [20n, 2n]") == "M302");
  CHECK(refused("capacitance: []") == "M302");
  CHECK(refused("capacitance: [200]") == "N302");
  CHECK(refused("capacitance: [200n, 1F]") == "N309");
  CHECK(refused("capacitance-accuracy: 4% + 3") == "M304");
  CHECK(refused("{capacitance: [200n], capacitance-accuracy: good}") == refused("accuracy: good"));
}

}  // namespace
}  // namespace lugwise
