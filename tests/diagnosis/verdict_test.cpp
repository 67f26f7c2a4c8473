// When a harness may be called sound, when faulty, and what is asked for in between. The oracle of what is shown is the
// plan: which faults each step proves.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

struct WholeSheet {
  Netlist netlist;
  Plan plan;
  std::vector<const Step*> steps;     // that take a reading
  std::vector<Observation> readings;  // of a sound harness, one a step
};

WholeSheet sheet_of(Netlist netlist) {
  WholeSheet sheet{std::move(netlist), {}, {}, {}};
  sheet.plan = plan_for(sheet.netlist.harness, sheet.netlist.id, {});
  sheet.readings = take_readings(sheet.netlist.harness, sheet.plan, nullptr);
  return sheet;
}

void find_steps(WholeSheet& sheet) {
  for (const Step& step : sheet.plan.steps) {
    if (step.kind == StepKind::Read || step.kind == StepKind::Sweep) sheet.steps.push_back(&step);
  }
  REQUIRE(sheet.steps.size() == sheet.readings.size());
}

// Whether the first so many steps prove all that the plan does.
bool all_proved(const WholeSheet& sheet, std::size_t taken) {
  std::set<std::size_t> all;
  std::set<std::size_t> some;
  for (std::size_t i = 0; i < sheet.steps.size(); ++i) {
    all.insert(sheet.steps[i]->proves.begin(), sheet.steps[i]->proves.end());
    if (i < taken) some.insert(sheet.steps[i]->proves.begin(), sheet.steps[i]->proves.end());
  }
  return all == some;
}

// What the first pickup would be heard to do; none where there is no pickup.
std::vector<Heard> complaint_of(const Harness& harness) {
  for (std::uint32_t p = 0; p < harness.parts().size(); ++p) {
    if (harness.parts()[p].kind != PartKind::Pickup) continue;
    Heard heard;
    heard.pickup = PartId{p};
    heard.setting = Setting(harness);
    return {heard};
  }
  return {};
}

Observation open_instead(Observation reading) {
  reading.shows = Shows::OverRange;
  reading.text = "OL";
  return reading;
}

// Readings that a tip on nothing spoils: numbers.
std::vector<std::size_t> spoilable(const WholeSheet& sheet) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < sheet.readings.size(); ++i) {
    if (sheet.readings[i].shows == Shows::Value) found.push_back(i);
  }
  return found;
}

}  // namespace

TEST_CASE("sound is said only where the readings rule out all that the plan shows, and nothing was heard",
          "[verdict]") {
  for (const std::string& path : worked_harnesses()) {
    WholeSheet sheet = sheet_of(worked_harness(path));
    find_steps(sheet);
    // The plan's own word of what a sweep proves is of its motion alone.
    for (Observation& reading : sheet.readings) reading.ends.clear();
    const Harness& harness = sheet.netlist.harness;
    Diagnoser diagnoser(harness, held_against(sheet.plan));
    const std::vector<Heard> heard = complaint_of(harness);
    const std::size_t all = sheet.readings.size();
    for (const std::size_t taken : {std::size_t{0}, std::size_t{1}, std::size_t{3}, all / 2, all - 1, all}) {
      if (taken > all) continue;
      const std::vector<Observation> some(sheet.readings.begin(),
                                          sheet.readings.begin() + static_cast<std::ptrdiff_t>(taken));
      const Diagnosis found = diagnoser.diagnose(some);
      INFO(path << ": " << taken << " of " << all << " readings, " << found.shown.seen << " of "
                << found.shown.of << " ruled out, verdict " << static_cast<int>(found.verdict) << ", "
                << found.advice);
      CHECK(found.verdict == (taken > 0 && all_proved(sheet, taken) ? Verdict::Sound : Verdict::Unfinished));
      CHECK(found.next.has_value() == (found.verdict != Verdict::Sound));
      if (heard.empty()) continue;
      const Diagnosis with = diagnoser.diagnose(some, heard);
      INFO("with a complaint: " << static_cast<int>(with.verdict));
      CHECK((with.verdict == Verdict::Unsure || with.verdict == Verdict::Unfinished));
      if (taken == all) CHECK(with.verdict == Verdict::Unsure);
    }
  }
}

TEST_CASE("with one slip among some of the readings, heard or not, nothing is sound and nothing condemned",
          "[verdict]") {
  for (const std::string& path : worked_harnesses()) {
    const WholeSheet sheet = sheet_of(worked_harness(path));
    DiagnosisOptions options = held_against(sheet.plan);
    options.suggest = false;
    Diagnoser diagnoser(sheet.netlist.harness, options);
    const std::vector<Heard> heard = complaint_of(sheet.netlist.harness);
    const std::vector<std::size_t> at = spoilable(sheet);
    const std::size_t all = sheet.readings.size();
    std::size_t turn = 0;
    for (const std::size_t taken : {std::size_t{1}, std::size_t{3}, all / 2, all - 1, all}) {
      const auto within = static_cast<std::size_t>(
          std::count_if(at.begin(), at.end(), [&](std::size_t i) { return i < taken; }));
      if (taken > all || within == 0 || (kSlowBuild && taken != all)) continue;
      std::vector<Observation> some(sheet.readings.begin(),
                                    sheet.readings.begin() + static_cast<std::ptrdiff_t>(taken));
      // Another reading each time.
      const std::size_t i = at[turn++ * 3 % within];
      some[i] = open_instead(some[i]);
      INFO(path << ": " << taken << " of " << all << " readings, the " << i + 1 << ". OL");
      CHECK(diagnoser.diagnose(some).verdict == Verdict::Unsure);
      if (!heard.empty()) CHECK(diagnoser.diagnose(some, heard).verdict == Verdict::Unsure);
    }
  }
}

TEST_CASE("one slip condemns nothing, is asked for again, and is settled by two right readings",
          "[verdict]") {
  for (const std::string& path : worked_harnesses()) {
    const WholeSheet sheet = sheet_of(worked_harness(path));
    DiagnosisOptions options = held_against(sheet.plan);
    options.separate = false;
    Diagnoser diagnoser(sheet.netlist.harness, options);
    const std::vector<std::size_t> at = spoilable(sheet);
    const std::size_t step = std::max<std::size_t>(1, at.size() / (kSlowBuild ? 1 : 4));
    for (std::size_t k = 0; k < at.size(); k += step) {
      const std::size_t i = at[k];
      std::vector<Observation> readings = sheet.readings;
      readings[i] = open_instead(readings[i]);
      const Diagnosis slipped = diagnoser.diagnose(readings);
      INFO(path << ": reading " << i + 1 << " OL: " << slipped.advice);
      CHECK(slipped.verdict == Verdict::Unsure);
      CHECK(slipped.readings[i].doubtful);
      REQUIRE(slipped.next);
      CHECK(slipped.next->again == i);

      readings.push_back(sheet.readings[i]);
      const Diagnosis right = diagnoser.diagnose(readings);
      CHECK(right.verdict == Verdict::Unsure);
      REQUIRE(right.next);
      CHECK(right.next->again == readings.size() - 1);
      CHECK((right.next->why == NextProbe::Why::Wiggle || right.next->why == NextProbe::Why::Again));

      readings.push_back(sheet.readings[i]);
      CHECK(diagnoser.diagnose(readings).verdict == Verdict::Sound);
    }
  }
}

TEST_CASE("what was wrong twice at one place, with a right reading between, takes three right ones to settle",
          "[verdict]") {
  const WholeSheet sheet = sheet_of(netlist_of("harnesses/fernhollow-7.yaml"));
  Diagnoser diagnoser(sheet.netlist.harness, held_against(sheet.plan));
  for (const std::size_t i : {std::size_t{0}, std::size_t{2}}) {
    const Observation right = sheet.readings[i];
    Observation wrong = open_instead(right);
    if (right.action == Action::Sweep) {
      wrong.shows = Shows::Jumps;
      wrong.ends.clear();
    }
    std::vector<Observation> readings = sheet.readings;
    readings[i] = wrong;
    readings.insert(readings.end(), {right, wrong, right, right});
    const Diagnosis found = diagnoser.diagnose(readings);
    INFO(found.advice);
    CHECK(found.verdict == Verdict::Unsure);
    REQUIRE(found.next);
    CHECK(found.next->again == readings.size() - 1);
    // A knob that is turned once more is watched for the same pots.
    CHECK(found.next->watched.empty() != (right.action == Action::Sweep));
    readings.push_back(right);
    CHECK(diagnoser.diagnose(readings).verdict == Verdict::Sound);
  }
}

TEST_CASE("what was wrong before a repair must be right after it", "[verdict]") {
  const WholeSheet sheet = sheet_of(netlist_of("harnesses/fernhollow-2.yaml"));
  const Observation before = open_instead(sheet.readings.front());
  const Diagnosis found =
      diagnose(sheet.netlist.harness, sheet.readings, held_against(sheet.plan), {}, {before});
  CHECK(found.verdict == Verdict::Unfinished);
  REQUIRE(found.next);
  CHECK(found.next->why == NextProbe::Why::Proof);
}

TEST_CASE("without a plan to hold readings against nothing is sound", "[verdict]") {
  const WholeSheet sheet = sheet_of(netlist_of("harnesses/fernhollow-1.yaml"));
  CHECK(diagnose(sheet.netlist.harness, sheet.readings, {}).verdict == Verdict::Unfinished);
}
