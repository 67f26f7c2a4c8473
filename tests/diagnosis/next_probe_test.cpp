#include "diagnosis/inside/next_probe.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <tuple>

#include "diagnosis/inside/reading_table.h"
#include "expectation/corner.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/inquiry.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::diagnosis::inside;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

// What a technician enters who takes the probe on an instrument with everything at its nominal value.
Observation take(const Harness& harness, const NextProbe& probe, const Fault& fault, double size) {
  const State state{probe.setting, {}, probe.access.depth > 0, {}, {}};
  const Meter meter = assumed_meter();
  const Ohms shown =
      true_ohms(harness, state, probe.a, probe.b, &fault, size).value_or(HUGE_VAL) + meter.leads_low;
  Observation seen;
  seen.a = probe.a;
  seen.b = probe.b;
  seen.setting = probe.setting;
  seen.access = probe.access;
  seen.range = probe.range;
  const bool loses = fault.mode == Mode::Open || fault.mode == Mode::High;
  const bool of_pot = fault.site == Site::Track || fault.site == Site::Wiper;
  const auto among = [](const auto& list, const auto& one) {
    return std::find(list.begin(), list.end(), one) != list.end();
  };
  if (probe.swept) {
    seen.action = Action::Sweep;
    seen.swept = probe.swept;
    const bool there = loses && of_pot && among(probe.watched, *harness[*fault.element].part);
    seen.shows = there ? Shows::Jumps : Shows::Smooth;
    return seen;
  }
  if (!probe.wiggled.empty()) {
    seen.action = Action::Wiggle;
    seen.wiggled = probe.wiggled;
    const bool there = loses && !of_pot && among(fault.points, probe.wiggled.front());
    seen.shows = there ? Shows::Unstable : Shows::Steady;
    return seen;
  }
  const double unit = meter.step(probe.range);
  if (over_range(meter, probe.range, shown)) {
    seen.shows = Shows::OverRange;
  } else {
    seen.value = std::round(shown / unit) * unit;
    seen.resolution = unit;
  }
  return seen;
}

// Seconds to the end when the search's first choice is taken, and that of what is left after it, and so on.
double followed(const Inquiry& inquiry, std::size_t budget) {
  const std::optional<Choice> choice = best_next(inquiry, budget);
  if (!choice) return 0;
  const double total = std::accumulate(inquiry.shares.begin(), inquiry.shares.end(), 0.0);
  double sum = inquiry.tests[choice->test].cost;
  const std::vector<std::uint8_t>& outcomes = inquiry.tests[choice->test].outcomes;
  for (std::uint8_t outcome = 0; outcome < 32; ++outcome) {
    double share = 0;
    for (std::size_t i = 0; i < outcomes.size(); ++i) share += outcomes[i] == outcome ? inquiry.shares[i] : 0;
    if (share > 0) sum += share / total * followed(after_outcome(inquiry, choice->test, outcome), budget);
  }
  return sum;
}

}  // namespace

TEST_CASE("the search's choices take at most one part in a hundred longer than the best there is",
          "[diagnosis]") {
  double least = 0;
  double taken = 0;
  double greedy = 0;
  for (std::size_t h : {0UL, 1UL}) {
    const Netlist netlist = worked_harness(worked_harnesses()[h]);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    const DiagnosisOptions options;
    ProbeFinder finder(netlist.harness, options);
    for (std::size_t f = 0; f < plan.faults.size(); f += kSlowBuild ? 29 : 5) {
      std::vector<Observation> seen;
      for (const Step& step : plan.steps) {
        if (step.kind != StepKind::Read) continue;
        seen.push_back(observe(netlist.harness, step, plan.options, &plan.faults[f]));
        if (std::find(step.proves.begin(), step.proves.end(), f) != step.proves.end()) break;
      }
      const Diagnosis answer = diagnose(netlist.harness, seen, options);
      if (answer.verdict == Verdict::Sound) continue;
      const Inquiry inquiry = finder.inquiry(seen, answer);
      const std::optional<Choice> best = best_next(inquiry, 300'000);
      if (!best || !best->exact) continue;
      least += best->cost;
      taken += followed(inquiry, 2500);
      greedy += greedy_cost(inquiry);
    }
  }
  INFO("least " << least << " s, taken " << taken << " s, greedy " << greedy << " s");
  CHECK(least > 0);
  CHECK(taken <= 1.01 * least);
  CHECK(taken >= least * (1 - 1e-9));
  CHECK(greedy >= least * (1 - 1e-9));
}

TEST_CASE("what a probe would read with a fault is what the circuit with that fault reads", "[diagnosis]") {
  std::size_t compared = 0;
  for (std::size_t h : {0UL, 1UL, 4UL, 12UL}) {
    const Harness harness = worked_harness(worked_harnesses()[h]).harness;
    const std::vector<PointId> points = reachable(harness, {}, accesses(harness).back().depth);
    const std::vector<Setting> settings = settings_to_try(harness, {});
    for (std::size_t s : {std::size_t{0}, settings.size() / 2}) {
      const Circuit circuit = circuit_of(harness, {settings[s], {}, true, {}, {}});
      const ReadingTable table(harness, circuit, points);
      for (const Fault& fault : faults_of(harness)) {
        const double size = fault.mode == Mode::High ? 3000 : fault.mode == Mode::Value ? 2.5 : 0;
        const std::vector<double> reads = table.under(fault, size);
        const Circuit faulty = with_fault(circuit, fault, size);
        const Network network = network_at(faulty, resistors_at(faulty, Corner::Nominal));
        for (std::size_t i = 0; i < points.size(); i += 2) {
          for (std::size_t j = i + 1; j < points.size(); j += kSlowBuild ? 9 : 3) {
            if (!circuit.has(points[i]) || !circuit.has(points[j])) continue;
            const auto ohms = network.resistance(points[i].index, points[j].index);
            INFO(harness.name << ": " << in_words(harness, fault) << ", " << harness[points[i]].name
                              << " and " << harness[points[j]].name);
            const double read = reads[i * points.size() + j];
            REQUIRE(std::isinf(read) == !ohms.has_value());
            if (ohms) CHECK_THAT(read, WithinRel(*ohms, 1e-3) || WithinAbs(*ohms, 0.02));
            ++compared;
          }
        }
      }
    }
  }
  CHECK(compared > 1000);
}

TEST_CASE("following the next probe ends, asks for no reading twice and keeps the fault in the first group",
          "[diagnosis]") {
  for (std::size_t h : {0UL, 1UL, 6UL}) {
    const Netlist netlist = worked_harness(worked_harnesses()[h]);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    for (std::size_t f = 0; f < plan.faults.size(); f += kSlowBuild ? 11 : 3) {
      const Fault& fault = plan.faults[f];
      std::vector<Observation> seen;
      for (const Step& step : plan.steps) {
        if (step.kind != StepKind::Read) continue;
        seen.push_back(observe(harness, step, plan.options, &fault));
        if (std::find(step.proves.begin(), step.proves.end(), f) != step.proves.end()) break;
      }
      INFO(harness.name << ": " << in_words(harness, fault));
      std::set<std::tuple<PointId, PointId, Setting, double, std::vector<PointId>, bool, bool>> asked;
      int probes = 0;
      Diagnosis diagnosis = diagnose(harness, seen, {});
      for (; diagnosis.next && diagnosis.next->why != NextProbe::Why::Proof && probes < 20; ++probes) {
        const NextProbe& next = *diagnosis.next;
        if (next.why != NextProbe::Why::Tells) {
          seen.push_back(take(harness, next, fault, 0));
          diagnosis = diagnose(harness, seen, {});
          continue;
        }
        const auto [a, b] = std::minmax(next.a, next.b);
        const bool once_more = next.again.has_value();
        CHECK(
            asked.emplace(a, b, next.setting, next.range.top, next.wiggled, next.swept.has_value(), once_more)
                .second);
        double total = 0;
        for (const NextProbe::Outcome& outcome : next.outcomes) {
          total += outcome.probability;
          CHECK((outcome.sound || !outcome.suspects.empty()));
        }
        CHECK_THAT(total, WithinRel(1, 1e-9));
        CHECK(next.outcomes.size() > 1);
        CHECK(next.bits > 0);
        seen.push_back(take(harness, next, fault, 0));
        diagnosis = diagnose(harness, seen, {});
      }
      CHECK(probes < 20);
      if (diagnosis.verdict != Verdict::Fault) continue;
      CHECK(std::any_of(diagnosis.suspects.begin(), diagnosis.suspects.end(), [&](const Suspect& suspect) {
        return suspect.group == 1 && (suspect.fault == fault || suspect.fault.element == fault.element);
      }));
    }
  }
}

// Two ways of exchanging leads at the same two lugs are two places: a tug or a new look mends neither for the other.
TEST_CASE("two exchanges at the same lugs are told apart by a probe", "[diagnosis]") {
  const Harness harness = harness_from(R"(
lugwise: 1
name: Fernhollow 36
parts:
  single: {kind: pickup, dcr: 8k}
  volume: {kind: pot, track: 500k}
  tone:   {kind: pot, track: 500k}
  jack:   {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
  - [tone.1, tone.case]
wires:
  - [volume.3, tone.3]
  - [volume.2, jack.tip]
  - [volume.case, tone.case, jack.sleeve]
)");
  const Plan plan = plan_for(harness, "exchanged", {});
  std::vector<Fault> exchanges;
  for (const Fault& fault : faults_of(harness)) {
    const bool here = std::all_of(fault.points.begin(), fault.points.end(), [&](PointId point) {
      return harness[point].name.starts_with("volume.2") || harness[point].name.starts_with("volume.3");
    });
    if (fault.mode == Mode::Misplaced && here) exchanges.push_back(fault);
  }
  REQUIRE(exchanges.size() > 1);
  const DiagnosisOptions options;
  ProbeFinder finder(harness, options);
  Diagnosis answer;
  answer.sound = 0;
  for (const Fault& fault : exchanges) {
    Suspect suspect;
    suspect.fault = fault;
    suspect.group = 1;
    suspect.probability = 1.0 / static_cast<double>(exchanges.size());
    answer.suspects.push_back(suspect);
  }
  finder.suggest({}, answer);
  REQUIRE(answer.next);
  CHECK(answer.next->outcomes.size() > 1);
}

TEST_CASE("two resistors side by side, of which one is wrong, are told apart with a lead off",
          "[diagnosis]") {
  const Harness harness = harness_from(R"(
lugwise: 1
name: Fernhollow 38
parts:
  one:   {kind: resistor, value: 100k, tolerance: 1%}
  other: {kind: resistor, value: 100k, tolerance: 1%}
joints:
  - [one.1, other.1]
  - [one.2, other.2]
)");
  Observation seen;
  for (const Element& element : harness.elements()) {
    if (element.kind != ElementKind::Resistor) continue;
    seen.a = element.a;
    seen.b = element.b;
  }
  seen.setting = Setting(harness);
  seen.value = 40e3;  // 66.7k beside 100k
  seen.resolution = 100;
  seen.range = range_for(assumed_meter(), seen.value);
  const Diagnosis diagnosis = diagnose(harness, {seen}, {});
  REQUIRE(diagnosis.suspects.size() > 1);
  CHECK_THAT(diagnosis.suspects[0].probability, WithinRel(diagnosis.suspects[1].probability, 1e-6));
  CHECK(diagnosis.separate.empty());
  REQUIRE(diagnosis.lift);
  REQUIRE(diagnosis.lift->lifted);
  CHECK(harness[*diagnosis.lift->lifted].name.starts_with("other."));
  CHECK(diagnosis.lift->outcomes.size() == 2);
  CHECK_THAT(diagnosis.lift->expected.ohms.nominal, WithinRel(100e3, 0.01));
}
