// Harnesses drawn inside their limits, with faults drawn by how common they are: what the diagnosis makes of them.
#include <fmt/format.h>

#include <algorithm>

#include "support/bench.h"
#include "support/catch.h"
#include "support/slow_build.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr int kDraws = kSlowBuild ? 2 : 8;

DiagnosisOptions without_next_probe(const Plan& plan) {
  DiagnosisOptions options = held_against(plan);
  options.suggest = false;
  return options;
}

bool is(const Suspect& suspect, const Fault& fault) { return suspect.fault == fault && !suspect.also; }

}  // namespace

TEST_CASE("a sound harness drawn inside its limits is never condemned, and hardly ever doubted",
          "[diagnosis]") {
  int drawn = 0;
  int sound = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Trials trials(netlist.harness, {});
    Diagnoser diagnoser(netlist.harness, without_next_probe(trials.plan()));
    std::mt19937 random(11);
    for (int draw = 0; draw < kDraws; ++draw) {
      const Trial trial = trials.take({}, random);
      REQUIRE_FALSE(trial.visible);
      const Diagnosis found = diagnoser.diagnose(trial.readings);
      INFO(path << " draw " << draw);
      CHECK(found.verdict != Verdict::Fault);
      ++drawn;
      sound += found.verdict == Verdict::Sound ? 1 : 0;
    }
  }
  CHECK(sound >= 0.98 * drawn);
}

TEST_CASE(
    "a fault drawn at random that some reading shows stands in the first group, as sure as it is said to be",
    "[diagnosis]") {
  int visible = 0;
  int first = 0;
  double said = 0;
  int right = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Trials trials(netlist.harness, {});
    Diagnoser diagnoser(netlist.harness, without_next_probe(trials.plan()));
    std::mt19937 random(12);
    for (int draw = 0; draw < kDraws; ++draw) {
      const Trial trial = trials.take({trials.draw_fault(random)}, random);
      if (!trial.visible) continue;
      const Fault& hidden = trial.hidden[0].fault;
      const Diagnosis found = diagnoser.diagnose(trial.readings);
      INFO(path << " draw " << draw << ": " << in_words(netlist.harness, hidden));
      CHECK(found.verdict != Verdict::Sound);
      ++visible;
      first += std::any_of(found.suspects.begin(), found.suspects.end(),
                           [&](const Suspect& each) { return each.group == 1 && is(each, hidden); });
      if (found.suspects.empty()) continue;
      said += found.suspects[0].probability;
      right += is(found.suspects[0], hidden);
    }
  }
  INFO(first << " of " << visible << " in the first group; " << said << " said, " << right << " right");
  CHECK(first >= 0.97 * visible);
  // Three deviations of so many draws, each right or wrong.
  if (!kSlowBuild) CHECK(std::abs(said - right) < 3 * std::sqrt(0.25 * visible));
}

// What a diagnoser keeps from one set of readings must change nothing about the next.
TEST_CASE("a diagnoser used before gives the same answer as a new one", "[diagnosis]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Trials trials(netlist.harness, {});
    Diagnoser used(netlist.harness, without_next_probe(trials.plan()));
    std::mt19937 random(13);
    for (int draw = 0; draw < 3; ++draw) {
      const Trial trial = trials.take({trials.draw_fault(random)}, random);
      const Diagnosis one = used.diagnose(trial.readings);
      const Diagnosis other = diagnose(netlist.harness, trial.readings, without_next_probe(trials.plan()));
      INFO(path << " draw " << draw);
      CHECK(one.verdict == other.verdict);
      CHECK_THAT(one.sound, WithinRel(other.sound, 1e-6) || WithinAbs(other.sound, 1e-12));
      REQUIRE(one.suspects.size() == other.suspects.size());
      for (std::size_t k = 0; k < one.suspects.size(); ++k)
        CHECK_THAT(one.suspects[k].probability, WithinRel(other.suspects[k].probability, 1e-6));
    }
  }
}
