#include <fmt/format.h>

#include "support/bench.h"
#include "support/catch.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

std::string first_group(const Harness& harness, const Diagnosis& diagnosis) {
  std::string text;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (suspect.group < 3) {
      text += fmt::format("  {} p {:.3f} group {}\n", in_words(harness, suspect.fault), suspect.probability,
                          suspect.group);
    }
  }
  return text;
}

}  // namespace

TEST_CASE("a plan taken on a sound harness raises no alarm", "[diagnosis]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Depth depth : {Depth::Full, Depth::Outside}) {
      PlanOptions options;
      options.depth = depth;
      const Plan plan = plan_for(netlist.harness, netlist.id, options);
      const auto readings = take_readings(netlist.harness, plan, nullptr);
      if (readings.empty()) continue;
      const Diagnosis diagnosis = diagnose(netlist.harness, readings, held_against(plan));
      INFO(path << " sound " << diagnosis.sound << "\n" << first_group(netlist.harness, diagnosis));
      CHECK(diagnosis.verdict == Verdict::Sound);
      for (const Comparison& reading : diagnosis.readings) CHECK(reading.agrees);
    }
  }
}

TEST_CASE("every open and every short that a plan claims to show stands in the first group of the diagnosis",
          "[diagnosis]") {
  int told = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Plan plan = plan_for(netlist.harness, netlist.id, {});
    std::vector<char> unseen(plan.faults.size(), 0);
    for (const Unseen& each : plan.unseen) unseen[each.fault] = 1;
    for (std::size_t f = 0; f < plan.faults.size(); f += kSlowBuild ? 16 : 1) {
      if (unseen[f]) continue;
      const Fault& fault = plan.faults[f];
      const Diagnosis diagnosis =
          diagnose(netlist.harness, take_readings(netlist.harness, plan, &fault), held_against(plan));
      INFO(path << ": " << in_words(netlist.harness, fault) << "\n"
                << first_group(netlist.harness, diagnosis));
      CHECK(diagnosis.verdict != Verdict::Sound);
      const bool located =
          std::any_of(diagnosis.suspects.begin(), diagnosis.suspects.end(),
                      [&](const Suspect& each) { return each.group == 1 && each.fault == fault; });
      CHECK(located);
      ++told;
    }
  }
  CHECK(told > (kSlowBuild ? 30 : 500));
}
