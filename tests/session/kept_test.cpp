// A record never contains what reading it back would refuse, and reading it back loses nothing.

#include <random>
#include <string>
#include <vector>

#include "intake/instrument.h"
#include "intake/readings.h"
#include "record/job.h"
#include "session/session.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Meter meter_of(const std::string& text) {
  Diagnostics problems("meter.yaml");
  const auto meter = read_meter(text, problems);
  REQUIRE(meter);
  return *meter;
}

// One that says 1 above its range, one with few ranges, one that chooses its range and reads capacitance.
std::vector<Meter> meters() {
  return {assumed_meter(),
          meter_of("counts: 2000\nranges: [200, 2k, 20k, 200k, 2M, 20M]\naccuracy: 0.8% + 2\nover: 1 .\n"),
          meter_of("counts: 4000\nranges: [400, 4k, 40k, 400k]\naccuracy: 1% + 2\nover: '1'\n"),
          meter_of("counts: 6000\nranges: [600, 6k, 60k, 600k, 6M]\naccuracy: 0.5% + 2\nauto: true\n"
                   "capacitance: [60n, 600n, 6u]\ncapacitance-accuracy: 3% + 5\n")};
}

class Typist {
 public:
  Typist(const Harness& harness, unsigned seed) : harness_(harness), random_(seed) {}

  std::string line() {
    switch (below(15)) {
      case 0:
        return "smooth " + number() + " " + number();
      case 1:
        return pick({"smooth ", "jumps from "}) + number() + pick({" on 200, ", " on 4k ", " to "}) +
               number() + pick({" on 20k", " on 2M", ""});
      case 2:
        return pick({"smooth 1 . 0.3", "smooth 1 1", "steady", "unstable", "smooth", "jumps", "1 .", "1"});
      case 3:
        return pick({"note ", "skip "}) + pick({"repair 1", "undone", "a \"quoted\" \\ one", "# x: {y}",
                                                "\xc3\xa4\xe2\x80\xa8\xef\xbb\xbf", "taken again", ""});
      case 4:
        return "undo";
      case 5:
        return pick({"again", "more", "go", "go 1", "go 7", "done", "skip", "skip"});
      case 6:
        return "repaired " + point();
      case 7:
        return "repaired";
      case 8:
        return "heard " + pick({"silent", "weak", "buzzes"});
      case 9:
        return number() + pick({" on 2M", " on 20k", " on 400k", " on 60n", " on 300"});
      case 10:
        return pick({"OL", "OL", "beep", "no beep", "47.2n", "OL on 20M"});
      default:
        return number();
    }
  }

  std::size_t below(std::size_t most) { return random_() % most; }

 private:
  std::string pick(const std::vector<std::string>& from) { return from[below(from.size())]; }
  std::string point() { return harness_.points()[below(harness_.points().size())].name; }
  std::string number() {
    return pick(
        {"0.3", "0.000M", "6.71k", "0.257M", "3.4", "1.0", "12.50k", "250.1k", "OL", "199.9", "0.4k"});
  }

  const Harness& harness_;
  std::mt19937 random_;
};

// The record through its text and back, which must be the same text.
void check_kept(const Netlist& netlist, const Session& session, const std::string& typed) {
  const std::string text = as_readings_file(netlist.harness, session.record());
  INFO("after '" << typed << "':\n" << text);
  Diagnostics problems("record.yaml");
  const auto sheet = read_sheet(text, netlist, problems);
  for (const Diagnostic& problem : problems.list()) INFO(problem.code << " " << problem.message);
  REQUIRE(sheet);
  const auto job = take_up(netlist, *sheet, conditions_for(netlist, &*sheet), problems);
  for (const Diagnostic& problem : problems.list()) INFO(problem.code << " " << problem.message);
  REQUIRE(job);
  Record back = record_of(netlist.harness, *job);
  back.plan = session.record().plan;
  CHECK(as_readings_file(netlist.harness, back) == text);
}

}  // namespace

TEST_CASE("a record never contains what reading it back would refuse, whatever was typed",
          "[session][kept]") {
  const std::vector<Meter> all = meters();
  std::size_t changes = 0;
  for (const unsigned seed : {1u, 2u, 3u, 4u, 5u, 6u}) {
    const Netlist netlist =
        netlist_of("harnesses/fernhollow-" + std::to_string(seed % 2 == 0 ? 1 : 2) + ".yaml");
    Session session(netlist.harness, netlist.id, PlanOptions{}, Record{});
    session.take("");
    Typist typist(netlist.harness, seed);
    session.use_meter(all[seed % all.size()]);
    for (int line = 0; line < 60; ++line) {
      if (line % 25 == 24) session.use_meter(all[typist.below(all.size())]);
      const std::string typed = line == 0 ? "0.3" : typist.line();
      if (!session.take(typed).changed) continue;
      ++changes;
      check_kept(netlist, session, typed);
    }
  }
  CHECK(changes > 100);
}

TEST_CASE("a reason that reads like one of the session's own words stays the person's", "[session][kept]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  Session session(netlist.harness, netlist.id, PlanOptions{}, Record{});
  session.take("");
  while (session.ask().kind != Ask::Kind::Prepare) session.take("skip");
  session.take("skip undone");
  REQUIRE(session.record().deeds.back().aside == Aside{Aside::Kind::PassedOver, 0, "undone"});
  check_kept(netlist, session, "skip undone");
}

TEST_CASE("a record of a netlist whose name no text can hold leaves it out, and can be read",
          "[session][kept]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  for (const char* const name : {"odd\x1b.yaml", "odd\x7f.yaml", "odd\nname.yaml", "\xe9t\xe9.yaml"}) {
    Record record;
    record.harness_file = name;
    record.unit = {"FH-\"0031\"", "2026-11-28T14:05+01:00", "R. Fern: bench", "meter\\2", "2027-05-01"};
    record.plan.id = "abcdef";
    Diagnostics problems("record.yaml");
    const auto sheet = read_sheet(as_readings_file(netlist.harness, record), netlist, problems);
    REQUIRE(sheet);
    CHECK(sheet->harness_file.empty());
    CHECK(sheet->unit == record.unit);
  }
}
