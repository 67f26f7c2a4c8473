#include <algorithm>
#include <cstdlib>
#include <random>

#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;

// What was counted, where the environment asks for more draws than a test takes.
#define WARN_IF_WANTED(text)                      \
  do {                                            \
    if (std::getenv("LUGWISE_SLIPS")) WARN(text); \
  } while (false)

// Reason: one reading may be a slip of the hand; that two in one plan are, and both show OL, is rarer than any open.
TEST_CASE("an open that makes two readings OL leaves little doubt", "[diagnosis]") {
  int told = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    for (std::size_t f = 0; f < plan.faults.size(); f += kSlowBuild ? 16 : 3) {
      const Fault& fault = plan.faults[f];
      if (fault.mode != Mode::Open) continue;
      const auto readings = take_readings(netlist.harness, plan, &fault);
      const auto sound = take_readings(netlist.harness, plan, nullptr);
      int changed = 0;
      for (std::size_t i = 0; i < readings.size(); ++i) {
        changed += readings[i].shows == Shows::OverRange && sound[i].shows == Shows::Value;
      }
      if (changed < 2) continue;
      const Diagnosis diagnosis = diagnose(netlist.harness, readings, {});
      INFO(path << ": " << in_words(netlist.harness, fault) << ", " << changed << " readings OL, sound "
                << diagnosis.sound);
      CHECK(diagnosis.verdict == Verdict::Fault);
      CHECK(diagnosis.sound < 0.05);
      ++told;
    }
  }
  CHECK(told > (kSlowBuild ? 5 : 50));
}

namespace {

// Draws of each kind and harness; more of them, with what was counted, where the environment says how many.
int draws_of(int usual) {
  const char* const wanted = std::getenv("LUGWISE_SLIPS");
  return wanted ? std::atoi(wanted) : kSlowBuild ? 1 : usual;
}

}  // namespace

TEST_CASE("a sound sheet with one slip is never called faulty, and sound only where the slip can't be seen",
          "[diagnosis][slip]") {
  int faulty = 0;
  int sound = 0;
  int unsure = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Trials trials(netlist.harness, {});
    DiagnosisOptions options = held_against(trials.plan());
    options.suggest = false;
    Diagnoser diagnoser(netlist.harness, options);
    std::mt19937 random(11);
    for (int draw = 0; draw < draws_of(3); ++draw) {
      Trial trial = trials.take({}, random);
      const auto slip = trials.slip_once(trial, random);
      if (!slip) continue;
      const Diagnosis found = diagnoser.diagnose(trial.readings);
      INFO(path << ": reading " << *slip + 1 << " is " << trial.readings[*slip].text << ", " << found.advice);
      CHECK(found.verdict != Verdict::Fault);
      if (!found.readings[*slip].agrees) CHECK(found.verdict == Verdict::Unsure);
      ++(found.verdict == Verdict::Fault ? faulty : found.verdict == Verdict::Sound ? sound : unsure);
    }
  }
  WARN_IF_WANTED("one slip in a sound sheet: " << faulty << " faulty, " << sound << " sound, " << unsure
                                               << " unsure");
}

// The netlist's default: a wiper at its stop shows half an ohm as a rule, and on this track 50 ohms at the most.
TEST_CASE("a wiper at its stop may show anything up to its most and be sound", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-1.yaml");
  const PartId volume = *netlist.harness.find_part("volume");
  const Plan plan = plan_for(netlist.harness, netlist.id, {});
  auto readings = take_readings(netlist.harness, plan, nullptr);
  const auto at_stop = std::find_if(readings.begin(), readings.end(), [&](const Observation& reading) {
    return reading.setting.knob(volume) == 0 && reading.shows == Shows::Value;
  });
  REQUIRE(at_stop != readings.end());
  for (const double shown : {0.3, 0.9, 5.0, 20.0, 45.0}) {
    at_stop->value = shown;
    const Diagnosis diagnosis = diagnose(netlist.harness, readings, held_against(plan));
    INFO(shown << " at the stop, sound " << diagnosis.sound);
    CHECK(diagnosis.verdict == Verdict::Sound);
  }
}

// By default a stop may show 20 ohms or 0.02 % of the track, whichever is more, and the usual is half an ohm. One of two pots
// is used and the other as good as new; that both are alike is nobody's rule.
TEST_CASE("one used wiper beside a new one is likelier than a cold joint", "[diagnosis]") {
  const Netlist netlist = netlist_of("harnesses/fernhollow-13.yaml");
  const Plan plan = plan_for(netlist.harness, netlist.id, {});
  const PartId volume = *netlist.harness.find_part("front-volume");
  auto readings = take_readings(netlist.harness, plan, nullptr);
  std::size_t at_stop = 0;
  for (Observation& reading : readings) {
    if (reading.setting.knob(volume) != 0 || reading.shows != Shows::Value ||
        reading.action != Action::Read || reading.range->top > 200)
      continue;
    reading.value += 9;
    ++at_stop;
  }
  REQUIRE(at_stop > 0);
  const Diagnosis diagnosis = diagnose(netlist.harness, readings, held_against(plan));
  INFO("sound " << diagnosis.sound << ": " << diagnosis.advice);
  CHECK(diagnosis.verdict == Verdict::Sound);
  CHECK(diagnosis.sound > 0.5);
}
