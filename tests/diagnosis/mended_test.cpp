// What was mended is seldom wrong still: what is left is looked for elsewhere, unless nothing else explains it.
#include <algorithm>

#include "record/job.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

std::vector<PointId> points_of(const Suspect& suspect) {
  std::vector<PointId> points = suspect.fault.points;
  if (suspect.also) points.insert(points.end(), suspect.also->points.begin(), suspect.also->points.end());
  return points;
}

bool in_first_group(const Diagnosis& found, const Fault& fault) {
  return std::any_of(found.suspects.begin(), found.suspects.end(), [&](const Suspect& each) {
    return each.group == 1 && (same_place(each.fault, fault) || (each.also && same_place(*each.also, fault)));
  });
}

// The open one among the suspects that lies just between these points.
Fault fault_of(const Diagnosis& found, const std::vector<PointId>& points) {
  for (const Suspect& each : found.suspects)
    if (each.fault.mode == Mode::Open &&
        std::is_permutation(each.fault.points.begin(), each.fault.points.end(), points.begin(), points.end()))
      return each.fault;
  FAIL("not suspected");
  return {};
}

// What a readings file comes to.
Job job_of(const Netlist& netlist, std::string_view text) {
  const Sheet sheet = sheet_from(text, netlist);
  Diagnostics problems("job.yaml");
  const auto job = take_up(netlist, sheet, conditions_for(netlist, &sheet), problems);
  REQUIRE(job.has_value());
  return *job;
}

double probability_of(const Diagnosis& found, const Fault& fault) {
  double sum = 0;
  for (const Suspect& each : found.suspects) sum += each.fault == fault && !each.also ? each.probability : 0;
  return sum;
}

}  // namespace

TEST_CASE("a joint that was mended in vain no longer leads, and stays possible", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Job job = job_of(netlist, R"(readings:
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: rear}, reads: 6.90k}
)");
  DiagnosisOptions options = job.diagnosis_options();
  options.suggest = false;
  const std::vector<Observation> readings = job.weighed();
  const Diagnosis before = diagnose(netlist.harness, readings, options);
  REQUIRE(before.suspects.size() > 2);
  const Suspect first = before.suspects.front();

  options.mended = {points_of(first)};
  const Diagnosis after = diagnose(netlist.harness, readings, options);
  CHECK(after.verdict == before.verdict);
  CHECK_FALSE(after.suspects.front().fault == first.fault);
  // The readings fit it no less than its neighbours, so it may have been made badly.
  CHECK(in_first_group(after, first.fault));
  const double left = probability_of(after, first.fault) / first.probability;
  CHECK(left < 0.1);
  CHECK(left > 0.01);

  // Mended in vain time after time it must still be found.
  for (int times = 0; times < 300; ++times) options.mended.push_back(points_of(first));
  const double ever = probability_of(diagnose(netlist.harness, readings, options), first.fault);
  CHECK(ever < probability_of(after, first.fault));
  CHECK(ever > 0.001 * first.probability);
}

TEST_CASE("a joint that was mended twice and still reads open is found there", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const Job job = job_of(netlist, R"(temperature: 22 °C
readings:
  - {repaired: [volume.case]}
  - {repaired: [volume.case]}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {volume: 10}, reads: OL, range: 20k}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {volume: 10}, reads: OL, range: 20M}
  - {between: [hardware.strings, jack.plug-sleeve], reads: beep}
  - {between: [volume.1, volume.3], set: {volume: 10}, reads: 5.81k, range: 20k}
  - {between: [volume.1, single.ground], reads: 0.3, range: 200}
  - {between: [volume.1, volume.case], reads: OL, range: 200}
  - {between: [volume.case, jack.sleeve], reads: 0.3, range: 200}
)");
  const Diagnosis found = diagnose(netlist.harness, job.weighed(), job.diagnosis_options());
  CHECK(found.verdict == Verdict::Fault);
  const PointId lug = *netlist.harness.find_point("volume.case");
  const std::vector<PointId>& points = found.suspects.front().fault.points;
  CHECK(std::any_of(points.begin(), points.end(),
                    [&](PointId point) { return point == lug || netlist.harness[point].on == lug; }));
}

TEST_CASE("what is mended after the last reading says nothing of the readings", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const std::string readings = R"(readings:
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20M}
  - {between: [selector.f, selector.out], set: {selector: front}, reads: OL, range: 20M}
)";
  const Job before = job_of(netlist, readings);
  const Job after = job_of(netlist, readings + "  - {repaired: [selector.f, selector.out]}\n");
  CHECK(after.diagnosis_options().mended.empty());
  const Diagnosis then = diagnose(netlist.harness, before.weighed(), before.diagnosis_options());
  const Diagnosis now = diagnose(netlist.harness, after.weighed(), after.diagnosis_options());
  CHECK(now.verdict == then.verdict);
  CHECK(now.suspects.front().fault == then.suspects.front().fault);
}

TEST_CASE("a lug alone that was repaired is what is soldered to it", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const std::string readings = R"(  - {between: [volume.2, jack.tip], reads: OL, range: 20M}
  - {between: [volume.2, jack.tip], reads: OL, range: 20M}
)";
  const Job before = job_of(netlist, "readings:\n" + readings);
  const Job after = job_of(netlist, "readings:\n  - {repaired: [volume.2]}\n" + readings);
  const Diagnosis then = diagnose(netlist.harness, before.weighed(), before.diagnosis_options());
  const Diagnosis now = diagnose(netlist.harness, after.weighed(), after.diagnosis_options());
  const Fault off = fault_of(
      then, {*netlist.harness.find_point("volume.2"), *netlist.harness.find_point("volume.2>jack.tip")});
  CHECK(probability_of(now, off) < 0.2 * probability_of(then, off));
}

TEST_CASE("a readings file that says what was repaired is diagnosed so", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Job job = job_of(netlist, R"(readings:
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k, aside: repair 1}
  - {repaired: [selector.f, front.hot]}
  - {between: [jack.plug-tip, jack.plug-sleeve], set: {selector: front}, reads: OL, range: 20k}
)");
  const std::vector<PointId> joint{*netlist.harness.find_point("selector.f"),
                                   *netlist.harness.find_point("front.hot")};
  CHECK(job.diagnosis_options().mended == std::vector<std::vector<PointId>>{joint});
  const std::vector<FoundBefore> before = found_before_repairs(netlist.harness, job);
  REQUIRE(before.size() == 1);
  const Diagnosis after = diagnose(netlist.harness, job.weighed(), job.diagnosis_options());
  const Fault off = fault_of(before.front().diagnosis, joint);
  CHECK(probability_of(after, off) < 0.2 * probability_of(before.front().diagnosis, off));
}

TEST_CASE("what alone explains the readings leads again though it was mended", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/parts/resistor.yaml");
  const Job job = job_of(netlist, R"(readings:
  - {between: [bleed.1, bleed.2], reads: 15.0k, range: 200k}
  - {between: [bleed.1, bleed.2], reads: 15.0k, range: 200k}
)");
  DiagnosisOptions options = job.diagnosis_options();
  options.suggest = false;
  const std::vector<Observation> readings = job.weighed();
  const Diagnosis before = diagnose(netlist.harness, readings, options);
  REQUIRE(before.verdict == Verdict::Fault);
  options.mended = {before.suspects.front().fault.points};
  const Diagnosis after = diagnose(netlist.harness, readings, options);
  CHECK(after.verdict == Verdict::Fault);
  CHECK(after.suspects.front().fault == before.suspects.front().fault);
}

TEST_CASE("a joint resoldered at a lug says nothing of what lies inside the part", "[diagnosis][mended]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-2.yaml");
  const Harness& harness = netlist.harness;
  const Job job = job_of(netlist, R"(readings:
  - {between: [volume.2, volume.3], set: {volume: 10}, reads: OL, range: 20M}
)");
  DiagnosisOptions options = job.diagnosis_options();
  options.suggest = false;
  const std::vector<Observation> readings = job.weighed();
  const auto wiper = [&](const Diagnosis& found) {
    double sum = 0;
    for (const Suspect& each : found.suspects)
      sum += each.fault.site == Site::Wiper && each.fault.mode == Mode::Open ? each.probability : 0;
    return sum;
  };
  const double before = wiper(diagnose(harness, readings, options));
  options.mended = {{*harness.find_point("volume.2"), *harness.find_point("volume.2>jack.tip")}};
  CHECK(wiper(diagnose(harness, readings, options)) >= before);
  const PartId volume = *harness.find_part("volume");
  options.mended = {harness[volume].points};
  CHECK(wiper(diagnose(harness, readings, options)) < 0.5 * before);
}

// An open blob of all grounds reads as an open string ground beside a jack joint off: with the blob reflowed and all as
// before it is those.
TEST_CASE("of two faults one is found, at the latest once what explains them both was mended in vain",
          "[diagnosis][mended]") {
  int shown = 0;
  int at_once = 0;
  int in_turn = 0;
  for (const char* path : {"harnesses/fernhollow-1.yaml", "harnesses/fernhollow-12.yaml",
                           "harnesses/fernhollow-15.yaml", "harnesses/fernhollow-3.yaml"}) {
    const Netlist netlist = netlist_of(path);
    const Trials trials(netlist.harness, {});
    DiagnosisOptions options = held_against(trials.plan());
    options.suggest = false;
    std::mt19937 random(8);
    for (int draw = 0; draw < (kSlowBuild ? 3 : 12); ++draw) {
      const TwoFaults two = TwoFaults::draw(trials, random);
      if (!two.each_shows || !two.both.visible) continue;
      ++shown;
      std::vector<Hidden> left{two.one, two.other};
      options.mended.clear();
      bool right = false;
      for (int tries = 0; tries < 6 && !right; ++tries) {
        std::mt19937 same(two.seed);
        const Trial now = trials.take(left, same);
        right = !now.visible;
        if (right) break;
        // One reading alone condemns nothing: all is read twice.
        std::vector<Observation> readings = now.readings;
        readings.insert(readings.end(), now.readings.begin(), now.readings.end());
        const Diagnosis found = diagnose(netlist.harness, readings, options);
        const std::size_t before = left.size();
        std::erase_if(left, [&](const Hidden& each) { return in_first_group(found, each.fault); });
        if (tries == 0 && left.size() < before) ++at_once;
        // All that stands in the first group is mended, right or not.
        for (const Suspect& each : found.suspects) {
          if (each.group == 1) options.mended.push_back(points_of(each));
        }
        right = left.empty();
      }
      in_turn += right ? 1 : 0;
      if (!right)
        UNSCOPED_INFO(path << ": " << in_words(netlist.harness, two.one.fault) << " AND "
                           << in_words(netlist.harness, two.other.fault));
    }
  }
  INFO(at_once << " at once, " << in_turn << " in turn, of " << shown);
  CHECK(shown > (kSlowBuild ? 2 : 15));
  CHECK(in_turn >= 0.97 * shown);
}
