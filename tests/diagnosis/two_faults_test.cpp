// Two faults at once, leads in the wrong place, and readings that nothing explains.
#include <fmt/format.h>

#include <algorithm>

#include "record/job.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

std::string answer_of(const Harness& harness, const Diagnosis& diagnosis) {
  std::string text = fmt::format("sound {:.3f} unlisted {:.3f}: {}\n", diagnosis.sound, diagnosis.unmodelled,
                                 diagnosis.advice);
  for (std::size_t k = 0; k < diagnosis.suspects.size() && k < 8; ++k) {
    const Suspect& each = diagnosis.suspects[k];
    text +=
        fmt::format("  {:.3f} group {} {}{}\n", each.probability, each.group, in_words(harness, each.fault),
                    each.also ? " AND " + in_words(harness, *each.also) : "");
  }
  return text;
}

}  // namespace

TEST_CASE(
    "two faults of which each shows beside the other are named in the first three groups, or what reads "
    "alike",
    "[diagnosis]") {
  int shown = 0;
  int named = 0;
  for (const char* path :
       {"harnesses/fernhollow-2.yaml", "harnesses/fernhollow-3.yaml", "harnesses/fernhollow-4.yaml",
        "harnesses/fernhollow-7.yaml", "harnesses/fernhollow-9.yaml", "harnesses/fernhollow-14.yaml"}) {
    const Netlist netlist = netlist_of(path);
    const Trials trials(netlist.harness, {});
    DiagnosisOptions options;
    options.suggest = false;
    Diagnoser diagnoser(netlist.harness, options);
    std::mt19937 random(21);
    for (int draw = 0; draw < (kSlowBuild ? 2 : 12); ++draw) {
      const TwoFaults two = TwoFaults::draw(trials, random);
      if (!two.each_shows) continue;
      ++shown;
      const Diagnosis found = diagnoser.diagnose(two.both.readings);
      const bool there = two.named_in(found);
      const bool alike = !there && two.reads_as(trials, found);
      named += there || alike ? 1 : 0;
      if (!there && !alike) {
        UNSCOPED_INFO(path << ": " << in_words(netlist.harness, two.one.fault) << " (" << two.one.size
                           << ") AND " << in_words(netlist.harness, two.other.fault) << " (" << two.other.size
                           << ")\n"
                           << answer_of(netlist.harness, found));
      }
    }
  }
  INFO(named << " of " << shown);
  CHECK(named >= 0.85 * shown);
}

// J. de Kleer and B. C. Williams, "Diagnosing multiple faults", Artificial Intelligence 32 (1987) 97-130, from memory: of
// three multipliers and two adders, F = M1 + M2 + A1 is wrong and G = M2 + M3 + A2 right. The minimal diagnoses are {M1},
// {A1}, {M2, M3} and {M2, A2}; the two doubles are as likely, and far less likely than the two singles. Here five
// resistors in a row stand for the five, and a sum is read across three of them.
TEST_CASE("the published example of several faults at once has its four minimal diagnoses", "[diagnosis]") {
  const Netlist netlist = netlist_from(R"(
lugwise: 1
name: Fernhollow 37
parts:
  a1: {kind: resistor, value: 20k, tolerance: 1%}
  m1: {kind: resistor, value: 20k, tolerance: 1%}
  m2: {kind: resistor, value: 20k, tolerance: 1%}
  m3: {kind: resistor, value: 20k, tolerance: 1%}
  a2: {kind: resistor, value: 20k, tolerance: 1%}
joints:
  - [a1.2, m1.1]
  - [m1.2, m2.1]
  - [m2.2, m3.1]
  - [m3.2, a2.1]
)");
  const Harness& harness = netlist.harness;
  const auto point = [&](std::string_view name) {
    for (std::uint32_t i = 0; i < harness.points().size(); ++i)
      if (harness.points()[i].name == name) return PointId{i};
    throw std::logic_error("no such point");
  };
  const auto reading = [&](std::string_view from, std::string_view to, Ohms shows) {
    Observation seen;
    seen.a = point(from);
    seen.b = point(to);
    seen.setting = Setting(harness);
    seen.value = shows;
    seen.resolution = 100;
    seen.range = range_for(assumed_meter(), shows);
    return seen;
  };
  const Observation f = reading("a1.1", "m2.2", 50e3);
  const Observation g = reading("m2.1", "a2.2", 60e3);
  const auto is_value = [&](const Fault& fault, const char* part) {
    return fault.mode == Mode::Value && fault.element && harness[*harness[*fault.element].part].name == part;
  };
  DiagnosisOptions options;
  options.suggest = false;

  const Diagnosis one = diagnose(harness, {f, g}, options);
  INFO(answer_of(harness, one));
  REQUIRE(one.suspects.size() >= 2);
  CHECK_THAT(one.suspects[0].probability, WithinRel(one.suspects[1].probability, 1e-6));
  CHECK((is_value(one.suspects[0].fault, "m1") || is_value(one.suspects[0].fault, "a1")));
  CHECK((is_value(one.suspects[1].fault, "m1") || is_value(one.suspects[1].fault, "a1")));
  CHECK(one.suspects[0].probability > 0.4);
  for (const Suspect& each : one.suspects) CHECK_FALSE((each.group == 1 && is_value(each.fault, "m2")));

  // With M1 and A1 read and right, and F read again, only the doubles are left.
  const Diagnosis two = diagnose(harness, {f, g, reading("a1.1", "m1.2", 40e3), f}, options);
  std::vector<std::string> found;
  for (const Suspect& each : two.suspects) {
    if (!each.also) continue;
    for (const char* other : {"m3", "a2"}) {
      if ((is_value(each.fault, "m2") && is_value(*each.also, other)) ||
          (is_value(each.fault, other) && is_value(*each.also, "m2")))
        found.push_back(fmt::format("{} {:.6f}", other, each.probability));
    }
  }
  INFO(answer_of(harness, two));
  REQUIRE(found.size() == 2);
  CHECK(found[0].substr(3) == found[1].substr(3));
  REQUIRE(two.suspects[0].also);
  CHECK((is_value(two.suspects[0].fault, "m2") || is_value(*two.suspects[0].also, "m2")));
}

TEST_CASE("leads in the wrong place that a plan shows are named as such, and no two other faults before them",
          "[diagnosis]") {
  int shown = 0;
  for (const char* path :
       {"harnesses/fernhollow-1.yaml", "harnesses/fernhollow-2.yaml", "harnesses/fernhollow-5.yaml"}) {
    const Netlist netlist = netlist_of(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    const std::vector<Observation> sound = take_readings(netlist.harness, plan, nullptr);
    DiagnosisOptions options;
    options.suggest = false;
    Diagnoser diagnoser(netlist.harness, options);
    for (const Fault& fault : faults_of(netlist.harness)) {
      if (fault.mode != Mode::Misplaced) continue;
      if (kSlowBuild && shown > 5) break;
      const std::vector<Observation> readings = take_readings(netlist.harness, plan, &fault);
      bool differs = false;
      for (std::size_t i = 0; i < readings.size(); ++i)
        differs = differs || !reads_alike(readings[i], sound[i]);
      if (!differs) continue;
      ++shown;
      const Diagnosis found = diagnoser.diagnose(readings);
      INFO(path << ": " << in_words(netlist.harness, fault) << "\n" << answer_of(netlist.harness, found));
      const bool first = std::any_of(found.suspects.begin(), found.suspects.end(), [&](const Suspect& each) {
        return each.group == 1 && each.fault == fault;
      });
      CHECK(first);
      REQUIRE_FALSE(found.suspects.empty());
      CHECK_FALSE(found.suspects[0].also);
    }
  }
  CHECK(shown > (kSlowBuild ? 3 : 20));
}

// Taken twice, the other time sound: then no fault explains the first.
// Of a simulated sheet: the joint of front.core at front-volume.3 is open, and that of a braid cold by 136 ohms. One cold joint
// of 281k would read so too, but for the first reading, which it does not touch.
TEST_CASE("a second fault is looked for where the likeliest one cannot have caused a wrong reading",
          "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-13.yaml");
  const Sheet sheet = sheet_from(R"(readings:
  - {between: [jack.plug-sleeve, jack.plug-tip], set: {front-volume: 0, rear-volume: 10, toggle: both}, reads: 138.4, range: 200}
  - {between: [jack.plug-sleeve, jack.plug-tip], set: {front-volume: 10, toggle: front}, reads: OL, range: 20k}
  - {between: [jack.plug-sleeve, jack.plug-tip], set: {rear-volume: 10, toggle: rear}, reads: 8.35k, range: 20k}
  - {between: [jack.plug-tip, hardware.strings], set: {front-volume: 10, rear-volume: 0, toggle: both}, reads: 19.7, range: 200}
  - {between: [front.core, rear.core], set: {front-volume: 10, rear-volume: 0, toggle: both}, reads: 15.53k, range: 20k}
  - {between: [front.core, free>rear-volume.case], set: {front-volume: 0, rear-volume: 0, toggle: both}, reads: 7.32k, range: 20k}
)",
                                 netlist);
  Diagnostics problems("job.yaml");
  const auto job = take_up(netlist, sheet, conditions_for(netlist, &sheet), problems);
  REQUIRE(job.has_value());
  const Diagnosis found = diagnose(netlist.harness, job->weighed(), job->diagnosis_options());
  INFO(answer_of(netlist.harness, found));
  CHECK(std::any_of(found.suspects.begin(), found.suspects.end(), [&](const Suspect& each) {
    return each.group == 1 && each.also && each.fault.mode == Mode::Open &&
           in_words(netlist.harness, each.fault) == "the joint of front.core at front-volume.3 is open";
  }));
  // What the first suspect leaves wrong is said to be in doubt.
  CHECK((found.suspects.front().also || found.readings[0].doubtful));
}

TEST_CASE("one wild reading that fits nothing is asked for again, and nothing is condemned", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Plan plan = plan_for(netlist.harness, netlist.id, {});
  const std::vector<Observation> readings = take_readings(netlist.harness, plan, nullptr);
  DiagnosisOptions options;
  options.suggest = false;
  Diagnoser diagnoser(netlist.harness, options);
  int asked = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (readings[i].shows != Shows::Value || readings[i].range->top != 20e3) continue;
    std::vector<Observation> wrong = readings;
    wrong.insert(wrong.end(), readings.begin(), readings.end());
    wrong[i].value = 1.87 * readings[i].value;
    const Diagnosis found = diagnoser.diagnose(wrong);
    INFO("reading " << i + 1 << "\n" << answer_of(netlist.harness, found));
    CHECK(found.verdict == Verdict::Unsure);
    CHECK(found.readings[i].doubtful);
    // That it is right the second time is not settled yet: it is taken a third time.
    CHECK(found.advice.find(fmt::format("Reading {}", readings.size() + i + 1)) != std::string::npos);
    REQUIRE(found.next.has_value() == options.suggest);
    ++asked;
  }
  CHECK(asked > 0);
}

TEST_CASE("an OL on too low a range is asked for again on a higher one", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  Observation low;
  low.a = *netlist.harness.find_point("jack.plug-tip");
  low.b = *netlist.harness.find_point("jack.plug-sleeve");
  low.setting = Setting(netlist.harness);
  low.access = {0, "outside"};
  low.range = *assumed_meter().find_range(2e3);
  low.shows = Shows::OverRange;
  low.text = "OL";
  const Diagnosis found = diagnose(netlist.harness, {low}, {});
  CHECK(found.verdict == Verdict::Unsure);
  CHECK(found.readings[0].agrees);
  CHECK(found.advice.find("20k range") != std::string::npos);
  low.range = *assumed_meter().find_range(20e3);
  low.shows = Shows::Value;
  low.value = 5670;
  low.resolution = 10;
  const Diagnosis right = diagnose(netlist.harness, {low}, {});
  CHECK(right.verdict == Verdict::Unfinished);
  CHECK(right.readings[0].agrees);
}

TEST_CASE("tips that show less than the leads did are no fault", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  DiagnosisOptions options;
  options.meter.leads_low = options.meter.leads_high = 0.3;
  Observation ground;
  ground.a = *netlist.harness.find_point("volume.case");
  ground.b = *netlist.harness.find_point("jack.sleeve");
  ground.setting = Setting(netlist.harness);
  ground.access = {1, "cavity"};
  ground.range = *assumed_meter().find_range(200);
  ground.resolution = 0.1;
  const Diagnosis found = diagnose(netlist.harness, {ground}, options);
  CHECK(found.readings[0].agrees);
  CHECK(found.verdict == Verdict::Unfinished);
}

// 15.0k of 150k is a tenth, within 0.8 % and two digits: 14.9k to 15.1k.
TEST_CASE("the size of a wrong value and of a cold joint is as sharp as the reading", "[diagnosis]") {
  const Netlist resistor = netlist_of("harnesses/parts/resistor.yaml");
  Observation read;
  read.a = *resistor.harness.find_point("bleed.1");
  read.b = *resistor.harness.find_point("bleed.2");
  read.setting = Setting(resistor.harness);
  read.access = {1, "bench"};
  read.range = *assumed_meter().find_range(20e3);
  read.value = 15e3;
  read.resolution = 10;
  const Diagnosis tenth = diagnose(resistor.harness, {read}, {});
  REQUIRE_FALSE(tenth.suspects.empty());
  REQUIRE(tenth.suspects[0].size);
  CHECK(tenth.suspects[0].fault.mode == Mode::Value);
  CHECK_THAT(tenth.suspects[0].size->nominal, WithinRel(0.1, 0.01));
  CHECK(tenth.suspects[0].size->low > 0.098);
  CHECK(tenth.suspects[0].size->high < 0.102);

  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  read.a = *netlist.harness.find_point("volume.case");
  read.b = *netlist.harness.find_point("jack.sleeve");
  read.setting = Setting(netlist.harness);
  read.access = {1, "cavity"};
  for (const double ohms : {12.0, 35.0, 140.0}) {
    read.range = *assumed_meter().find_range(200);
    read.value = ohms + 0.3;
    read.resolution = 0.1;
    const Diagnosis cold = diagnose(netlist.harness, {read}, {});
    REQUIRE_FALSE(cold.suspects.empty());
    REQUIRE(cold.suspects[0].size);
    CHECK_THAT(cold.suspects[0].size->nominal, WithinRel(ohms, 0.05));
    CHECK(cold.verdict == Verdict::Unsure);
    CHECK(diagnose(netlist.harness, {read, read}, {}).verdict == Verdict::Fault);
  }
}

TEST_CASE("a complaint alone ranks what could cause it, and a reading then clears it", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const Sheet sheet =
      sheet_from("heard:\n  - {pickup: front, set: {selector: front}, is: silent}\n", netlist);
  REQUIRE(sheet.heard.size() == 1);
  const Diagnosis found = diagnose(harness, {}, {}, sheet.heard);
  INFO(answer_of(harness, found));
  CHECK(found.verdict == Verdict::Unfinished);
  REQUIRE_FALSE(found.suspects.empty());
  const auto position = [&](const Fault& fault) {
    double sum = 0;
    for (const Suspect& each : found.suspects) sum += each.fault == fault ? each.probability : 0;
    return sum;
  };
  // Each fault by itself: what silences the front pickup gains, what concerns the rear one alone does not.
  for (const Fault& fault : faults_of(harness)) {
    if (fault.mode != Mode::Open || fault.site != Site::Coil) continue;
    const bool front = harness[*harness[*fault.element].part].name == "front";
    CHECK((position(fault) > 0) == front);
  }
  CHECK_FALSE(found.suspects[0].heard.empty());

  Observation whole;
  whole.a = *harness.find_point("jack.plug-tip");
  whole.b = *harness.find_point("jack.plug-sleeve");
  whole.setting = sheet.heard[0].setting;
  whole.access = {0, "outside"};
  whole.range = *assumed_meter().find_range(20e3);
  whole.value = 6060;
  whole.resolution = 10;
  const Diagnosis after = diagnose(harness, {whole}, {}, sheet.heard);
  CHECK(after.sound > found.sound);
}

TEST_CASE("readings of another harness are doubted, with what would have to differ", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Plan plan = plan_for(netlist.harness, netlist.id, {});
  std::vector<Observation> readings = take_readings(netlist.harness, plan, nullptr);
  const double wild[] = {133, 41.7, 918, 77.3, 266, 12.9, 613, 58.1};
  std::size_t next = 0;
  for (Observation& reading : readings) {
    if (reading.action != Action::Read) continue;
    reading.shows = Shows::Value;
    reading.value = wild[next++ % 8] * reading.range->top / 2000;
  }
  const Diagnosis found = diagnose(netlist.harness, readings, {});
  INFO(answer_of(netlist.harness, found));
  CHECK(found.verdict == Verdict::Unsure);
  CHECK_FALSE(found.differs.empty());
}
