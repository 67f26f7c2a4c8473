// What a typed line does, and that a session stands nowhere but in its record.

#include "session/session.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "intake/instrument.h"
#include "intake/readings.h"
#include "sheet/step_reading.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

Session begun(const Netlist& netlist, Record record = {}, const PlanOptions& options = {}) {
  Session session(netlist.harness, netlist.id, options, std::move(record));
  session.take("");
  return session;
}

// The tips together, and what else is to be done before the first reading.
void prepare(Session& session) {
  session.take("0.3");
  for (int i = 0; i < 10 && session.ask().kind == Ask::Kind::Prepare; ++i) session.take("");
}

Netlist fernhollow(int number) {
  const std::string name = "fernhollow-" + std::to_string(number) + ".yaml";
  for (const std::string& path : worked_harnesses()) {
    if (path.ends_with(name)) return worked_harness(path);
  }
  FAIL(name);
  return worked_harness("");
}

// The record through its file and back.
Record read_back(const Netlist& netlist, const Record& record) {
  Record back = record;
  const Sheet sheet = sheet_from(as_readings_file(netlist.harness, record), netlist);
  REQUIRE(sheet.entries.size() == record.deeds.size());
  for (std::size_t i = 0; i < sheet.entries.size(); ++i) {
    const Entry& entry = sheet.entries[i];
    Deed& deed = back.deeds[i];
    CHECK(entry.kind == deed.kind);
    deed.note = entry.note;
    deed.aside = entry.aside;
    deed.repaired = entry.repaired;
    deed.seen.text = entry.text;
    deed.seen.value = entry.value;
    deed.seen.resolution = entry.resolution;
    if (entry.kind != EntryKind::Reading && entry.kind != EntryKind::Skipped) continue;
    CHECK(entry.shows == deed.seen.shows);
    deed.seen.action = entry.action;
    deed.seen.a = entry.a;
    deed.seen.b = entry.b;
    deed.seen.setting = entry.setting;
    deed.seen.swept = entry.swept;
    deed.seen.wiggled = entry.wiggled;
    deed.seen.ends = entry.ends;
    CHECK((entry.cover.empty() ? "outside" : entry.cover) == deed.seen.access.name);
    if (entry.range) CHECK(entry.range == deed.seen.range->top);
  }
  back.heard = sheet.heard;
  return back;
}

// What a session stands for, as one text.
std::string standing_of(const Session& session) {
  const Harness& harness = session.harness();
  const Ask& ask = session.ask();
  std::string text = std::to_string(static_cast<int>(ask.kind));
  if (ask.kind == Ask::Kind::Prepare) text += ask.step.instruction;
  const bool reads = ask.kind != Ask::Kind::Prepare && ask.kind != Ask::Kind::Verdict &&
                     ask.kind != Ask::Kind::Finished && ask.kind != Ask::Kind::Begin;
  if (reads) {
    text += " " + std::min(harness[ask.step.a].name, harness[ask.step.b].name) + " " +
            std::max(harness[ask.step.a].name, harness[ask.step.b].name);
    for (PartId control : harness.controls()) text += " " + ask.step.setting.place_name(harness, control);
  }
  for (const Step& step : session.plan().steps)
    text += " " + std::to_string(static_cast<int>(session.state_of(step)));
  return text + (session.trouble() ? " trouble" : "");
}

// What a sound harness shows where a reading is asked for.
std::string sound_display(const Session& session) {
  const Step& step = session.ask().step;
  if (step.kind == StepKind::Sweep) return "smooth";
  if (step.kind == StepKind::Wiggle) return "steady";
  if (step.capacitance)
    return capacitance_display(session.meter(), step.range, step.capacitance->shows.nominal);
  return step.expected.open ? "OL" : display(session.meter(), step.range, step.shows.nominal);
}

// A line somebody might type: mostly what is asked for, now and then another word or a slip.
std::string typed(const Session& session, std::mt19937& random) {
  const auto any = [&](const std::vector<std::string>& lines) { return lines[random() % lines.size()]; };
  const Ask& ask = session.ask();
  if (random() % 4 == 0)
    return any({"undo",
                "skip",
                "skip no room",
                "note x: [y], \"z\" #",
                "heard front weak",
                "repaired",
                "why",
                "list",
                "6.71k",
                "OL",
                "beep",
                "no beep",
                "unstable",
                "jumps",
                "foo",
                "1",
                "range 2M",
                "0.2M on 2M",
                "0.4",
                "go",
                "go 3",
                "again",
                "more",
                "stop",
                "done",
                "",
                "repaired volume.case reflowed"});
  switch (ask.kind) {
    case Ask::Kind::Begin:
      return "";
    case Ask::Kind::Prepare:
      return ask.step.tips_together ? "0.3" : "done";
    case Ask::Kind::Verdict:
      return any({"repaired", "more", "go", "undo"});
    case Ask::Kind::Finished:
      return any({"undo", "again", "go 4"});
    default:
      break;
  }
  if (ask.step.kind == StepKind::Sweep) return any({"smooth", "smooth", "jumps"});
  if (ask.step.kind == StepKind::Wiggle) return any({"steady", "steady", "unstable"});
  if (random() % 8 == 0) return any({"OL", "0.0"});
  return sound_display(session);
}

}  // namespace

TEST_CASE("what was heard before a repair is put aside with it, and comes back with its undoing",
          "[session]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  Session session = begun(netlist);
  session.take("heard front silent selector=front");
  session.take("repaired selector.f");
  session.take("heard rear weak");
  REQUIRE(session.record().heard.size() == 2);
  CHECK(session.record().heard[0].aside == mended_by(1));
  CHECK(session.record().heard[1].aside == Aside{});
  const Record back = read_back(netlist, session.record());
  CHECK(back.heard[0].aside == mended_by(1));
  session.take("undo");
  session.take("undo");
  REQUIRE(session.record().heard.size() == 1);
  CHECK(session.record().heard[0].aside == Aside{});
}

TEST_CASE("an end of a sweep is entered on a range of its own", "[session]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  Session session = begun(netlist);
  for (int i = 0; i < 200 && session.ask().step.kind != StepKind::Sweep; ++i) session.take("skip");
  REQUIRE(session.ask().step.kind == StepKind::Sweep);
  const Reply fine = session.take("smooth 0.001M 0.3");
  CHECK(fine.kind == Reply::Kind::Refused);
  CHECK_THAT(fine.hint, Catch::Matchers::ContainsSubstring("'0.3 on 200'"));
  CHECK(session.take("5.6kk").hint == "this is a sweep: it reads 'smooth' or 'jumps'");
  CHECK(session.take("smooth OL 0.3 on 300").kind == Reply::Kind::Refused);
  CHECK(session.take("smooth OL 0.3 on 200").kind == Reply::Kind::Judged);
  const Deed& deed = session.record().deeds.back();
  REQUIRE(deed.seen.ends.size() == 2);
  CHECK(!deed.seen.ends[0].range);
  CHECK(deed.seen.ends[1].range->top == 200);
  const Record back = read_back(netlist, session.record());
  CHECK(back.deeds.back().seen.ends[1].range->top == 200);
}

TEST_CASE("a session made from the record of another stands where that one stands", "[session]") {
  std::mt19937 random(6);
  for (const char* path : {"harnesses/fernhollow-1.yaml", "harnesses/fernhollow-2.yaml"}) {
    const Netlist netlist = netlist_of(path);
    for (int round = 0; round < 6; ++round) {
      Session session = begun(netlist);
      bool strayed = false;  // to where the session itself would not have gone
      for (int line = 0; line < 25; ++line) {
        const std::string before = as_readings_file(netlist.harness, session.record());
        const std::string text = typed(session, random);
        const Reply reply = session.take(text);
        const std::string after = as_readings_file(netlist.harness, session.record());
        INFO(path << " round " << round << ", typed '" << text << "'\n" << after);
        CHECK(reply.changed == (before != after));
        CHECK((reply.kind == Reply::Kind::Refused) == !reply.problem.empty());
        if (reply.kind == Reply::Kind::Moved) strayed = true;
        const bool remark = reply.kind == Reply::Kind::Noted || reply.kind == Reply::Kind::Heard;
        if (reply.changed && !remark) strayed = false;
        if (reply.changed && !strayed) {
          const Session other = begun(netlist, read_back(netlist, session.record()));
          CHECK(standing_of(other) == standing_of(session));
          CHECK(other.diagnosis().sound == session.diagnosis().sound);
        }
      }
    }
  }
}

TEST_CASE("a session gone on with, or that had the tips held together, takes no probe to be where it was",
          "[session]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  Session session = begun(netlist);
  prepare(session);
  session.take(sound_display(session));
  REQUIRE(session.last_taken());
  REQUIRE(session.standing());
  const Session resumed = begun(netlist, read_back(netlist, session.record()));
  CHECK_FALSE(resumed.last_taken());
  CHECK_FALSE(resumed.standing());

  session.take("go 1");
  REQUIRE(session.ask().step.tips_together);
  REQUIRE(session.take("0.2").changed);
  session.take("note held together");
  CHECK_FALSE(session.last_taken());
  CHECK(session.standing());  // no control was turned for that
}

TEST_CASE("whatever bytes are typed, a session answers and its record can be read", "[session]") {
  std::mt19937 random(7);
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  Session session = begun(netlist);
  session.take("0.3");
  const std::vector<std::string> words{"note ",     "skip ",   "heard ", "go ", "range ",
                                       "repaired ", "smooth ", "meter ", ""};
  for (int line = 0; line < 3000; ++line) {
    std::string text = words[random() % words.size()];
    for (std::size_t i = random() % 12; i > 0; --i) text += static_cast<char>(random() % 256);
    const Reply reply = session.take(text);
    if (reply.changed && line % 50 == 0) read_back(netlist, session.record());
    if (reply.changed && reply.kind != Reply::Kind::Undone) session.take("undo");
  }
  read_back(netlist, session.record());
}

TEST_CASE("every meter comes back from a record as it was", "[session]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  for (const char* text :
       {"{counts: 2000, leads: 0.3}", "{counts: 6000, auto: true, over: \"1 .\", cable: 0.4}",
        "{counts: 4000, ranges: [400, 4k, 40k, 400k, 4M, 40M], accuracy: {400: 0.5% + 3, 4k: 0.35% + 1, 40k: "
        "1% + 2, "
        "400k: 1% + 2, 4M: 1.3% + 5, 40M: 2% + 5}, beeps-below: 70}",
        "{capacitance: [2n, 20n, 200n, 2u], capacitance-accuracy: 2.5% + 5, leads: 0}"}) {
    Diagnostics problems("meter.yaml");
    const auto meter = read_meter(text, problems);
    REQUIRE(meter);
    Record record;
    record.harness_file = "x.yaml";
    record.plan.id = "123456";
    record.meter = *meter;
    const Sheet sheet = sheet_from(as_readings_file(netlist.harness, record), netlist);
    REQUIRE(sheet.meter);
    const auto same = [](const std::vector<Range>& x, const std::vector<Range>& y) {
      return std::equal(x.begin(), x.end(), y.begin(), y.end(), [](const Range& one, const Range& other) {
        return one.top == other.top && std::abs(one.share - other.share) < 1e-12 &&
               one.digits == other.digits;
      });
    };
    CHECK(sheet.meter->counts == meter->counts);
    CHECK(same(sheet.meter->ranges, meter->ranges));
    CHECK(same(sheet.meter->capacitance, meter->capacitance));
    CHECK(sheet.meter->automatic == meter->automatic);
    CHECK(sheet.meter->leads_low == meter->leads_low);
    CHECK(sheet.meter->leads_high == meter->leads_high);
    CHECK(sheet.meter->beeps_below == meter->beeps_below);
    CHECK(sheet.meter->cable == meter->cable);
    CHECK(sheet.meter->over == meter->over);
  }
}

TEST_CASE("every worked harness is found sound by a session that reads what it should", "[session]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    if (netlist.harness.points().size() > 200) continue;
    Session session = begun(netlist);
    int lines = 0;
    while (session.ask().kind != Ask::Kind::Finished && ++lines < 400) {
      const Step step = session.ask().step;
      INFO(path << " line " << lines);
      REQUIRE(session.ask().kind != Ask::Kind::Verdict);
      std::string text = "done";
      if (step.tips_together) {
        text = "0.3";
      } else if (session.ask().kind != Ask::Kind::Prepare) {
        text = sound_display(session);
      }
      const Reply reply = session.take(text);
      INFO(text << ": " << reply.problem);
      REQUIRE(reply.changed);
    }
    CHECK(session.diagnosis().verdict == Verdict::Sound);
    CHECK_FALSE(session.trouble());
  }
}

TEST_CASE("depth outside never asks for a probe inside", "[session]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  PlanOptions options;
  options.depth = Depth::Outside;
  Session session = begun(netlist, {}, options);
  prepare(session);
  for (int line = 0; line < 20 && session.ask().kind != Ask::Kind::Verdict; ++line) {
    CHECK(session.ask().step.access.depth == 0);
    const StepKind kind = session.ask().step.kind;
    session.take(kind == StepKind::Prepare  ? ""
                 : kind == StepKind::Sweep  ? "jumps"
                 : kind == StepKind::Wiggle ? "unstable"
                                            : "OL");
  }
  CHECK(session.ask().kind == Ask::Kind::Verdict);
}

TEST_CASE("after a repair a session asks for what was wrong and for the steps of the plan after that repair",
          "[session]") {
  const auto place = [](const Harness& harness, const Step& step) {
    std::string text = std::min(harness[step.a].name, harness[step.b].name) + " " +
                       std::max(harness[step.a].name, harness[step.b].name) + " " +
                       std::to_string(static_cast<int>(step.kind));
    for (PartId control : harness.controls()) text += " " + step.setting.place_name(harness, control);
    return text;
  };
  const std::vector<std::pair<int, std::vector<std::string>>> repairs{
      {1, {"volume.case"}}, {2, {"selector.f"}}, {2, {"volume.3", "tone.2"}}, {5, {"volume.case"}}};
  for (const auto& [which, names] : repairs) {
    INFO("fernhollow-" << which << " at " << names.front());
    const Netlist netlist = fernhollow(which);
    const Harness& harness = netlist.harness;
    PlanOptions options;
    for (const std::string& name : names) options.after.push_back(*harness.find_point(name));
    std::vector<std::string> wanted;
    for (const Step& step : plan_for(harness, netlist.id, options).steps) {
      if (step.kind != StepKind::Prepare) wanted.push_back(place(harness, step));
    }
    REQUIRE(!wanted.empty());

    Session session = begun(netlist);
    session.take("0.3");
    while (session.ask().kind == Ask::Kind::Prepare) REQUIRE(session.take("").changed);
    // The first step is wrong: after the repair it comes first, whatever lies open.
    REQUIRE(session.ask().kind == Ask::Kind::Step);
    REQUIRE(session.ask().step.access.depth == 0);
    std::erase(wanted, place(harness, session.ask().step));
    wanted.insert(wanted.begin(), place(harness, session.ask().step));
    session.take(sound_display(session) == "OL" ? "0.3 on 200" : "OL");
    REQUIRE(session.trouble());
    std::string line = "repaired";
    for (const std::string& name : names) line += " " + name;
    CHECK(session.take(line).count == wanted.size());
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      REQUIRE(session.ask().kind == Ask::Kind::Recheck);
      CHECK(session.ask().place == static_cast<int>(i) + 1);
      CHECK(session.ask().of == static_cast<int>(wanted.size()));
      CHECK(place(harness, session.ask().step) == wanted[i]);
      if (i == 0) {
        CHECK(session.last_taken() == nullptr);
        // What is only heard leads nowhere else.
        REQUIRE(session.take("heard silent").kind == Reply::Kind::Heard);
        CHECK(session.ask().kind == Ask::Kind::Recheck);
        session.take("undo");
      }
      // A number is that of the whole plan's step at the same place.
      if (const int number = session.ask().step.number; number > 0)
        CHECK(place(harness, session.plan().steps[static_cast<std::size_t>(number) - 1]) == wanted[i]);
      for (std::size_t fault : session.ask().step.proves) CHECK(fault < session.plan_asked().faults.size());
      REQUIRE(session.take(sound_display(session)).kind == Reply::Kind::Judged);
    }
    CHECK(session.ask().kind == Ask::Kind::Step);
  }
}

TEST_CASE("a reading that is wrong after a repair is asked for once more, as before it", "[session]") {
  const Netlist netlist = fernhollow(1);
  Session session = begun(netlist);
  prepare(session);
  const auto wrong_twice = [&] {
    const Observation place = as_observation(netlist.harness, session.ask().step);
    session.take("OL");
    for (int i = 0; i < 4 && session.ask().kind != Ask::Kind::Again; ++i)
      session.take(sound_display(session));
    REQUIRE(session.ask().kind == Ask::Kind::Again);
    CHECK(at_one_place(as_observation(netlist.harness, session.ask().step), place));
    session.take("OL");
  };
  wrong_twice();
  session.take("repaired volume.2");
  REQUIRE(session.ask().kind == Ask::Kind::Recheck);
  wrong_twice();
}

TEST_CASE("a reading with a lead off is asked for once more with that lead off", "[session]") {
  const Netlist netlist = fernhollow(1);
  const Harness& harness = netlist.harness;
  Record record;
  Deed deed;
  deed.seen.a = *harness.find_point("volume.1");
  deed.seen.b = *harness.find_point("volume.3");
  deed.seen.setting = Setting(harness);
  deed.seen.access = {1, "cavity"};
  deed.seen.lifted = {*harness.find_point("single.hot")};
  deed.seen.range = *assumed_meter().find_range(2e6);
  deed.seen.shows = Shows::Value;
  deed.seen.value = 238e3;
  deed.seen.resolution = 1e3;
  deed.seen.text = "0.238M";
  record.deeds.push_back(deed);
  Session session = begun(netlist, record);
  session.take("again");
  REQUIRE(session.ask().kind == Ask::Kind::Again);
  CHECK(session.ask().step.lifted == deed.seen.lifted);
  REQUIRE(session.take("0.239M").kind == Reply::Kind::Judged);
  REQUIRE(session.record().deeds.size() == 2);
  CHECK(session.record().deeds[0].aside.is(Aside::Kind::TakenAgain));
  CHECK(session.record().deeds[1].seen.lifted == deed.seen.lifted);
}

TEST_CASE("an OL on too low a range is asked for on a higher one once, and then the session goes on",
          "[session]") {
  const Netlist netlist = fernhollow(1);
  Session session = begun(netlist);
  prepare(session);
  REQUIRE(session.ask().kind == Ask::Kind::Step);
  const PointId a = session.ask().step.a;
  REQUIRE(session.ask().step.range.top == 20e3);
  session.take("OL on 2k");
  CHECK(session.ask().kind == Ask::Kind::Again);
  CHECK(session.ask().step.range.top == 20e3);
  REQUIRE(session.ask().above);
  CHECK(session.ask().above->top == 2e3);
  session.take("OL on 2k");
  CHECK(session.ask().kind == Ask::Kind::Step);
  CHECK((session.ask().step.a != a || session.ask().step.kind == StepKind::Sweep));
  CHECK(session.diagnosis().verdict == Verdict::Unfinished);
  CHECK(session.diagnosis().readings.back().doubtful);
}

// Each probe is answered with OL on the lowest range, whatever was asked for.
TEST_CASE("no session asks endlessly for what is entered as OL on too low a range", "[session]") {
  for (const int number : {1, 2}) {
    const Netlist netlist = fernhollow(number);
    Session session = begun(netlist);
    prepare(session);
    int entries = 0;
    for (; entries < 200; ++entries) {
      const Ask::Kind kind = session.ask().kind;
      if (kind == Ask::Kind::Verdict || kind == Ask::Kind::Finished) break;
      const StepKind step = session.ask().step.kind;
      const char* const typed = kind == Ask::Kind::Prepare       ? ""
                                : step == StepKind::Sweep        ? "smooth"
                                : step == StepKind::Wiggle       ? "steady"
                                : session.ask().step.capacitance ? "skip"
                                                                 : "OL on 200";
      if (session.take(typed).kind == Reply::Kind::Refused) session.take("skip");
    }
    INFO(netlist.harness.name << ": " << entries << " entries");
    CHECK(entries < 200);
  }
}
