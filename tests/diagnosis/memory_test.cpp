// A diagnoser keeps what it solved from one sheet to the next: that must change no answer.
#include <random>

#include "support/bench.h"
#include "support/catch.h"
#include "support/slow_build.h"
#include "support/trial.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

std::string answer_of(const Harness& harness, const Diagnosis& diagnosis) {
  std::string text = std::to_string(static_cast<int>(diagnosis.verdict));
  for (const Suspect& each : diagnosis.suspects)
    text += "\n  " + std::to_string(each.group) + " " + std::to_string(each.probability) + " " +
            in_words(harness, each.fault) + (each.also ? " and " + in_words(harness, *each.also) : "");
  return text;
}

}  // namespace

TEST_CASE("what was diagnosed before changes no answer", "[diagnosis][memory]") {
  const std::vector<std::string> paths = worked_harnesses();
  for (std::size_t h = 0; h < paths.size(); h += kSlowBuild ? 7 : 3) {
    const std::string& path = paths[h];
    const Netlist netlist = worked_harness(path);
    const Trials trials(netlist.harness, {});
    DiagnosisOptions options = held_against(trials.plan());
    options.separate = false;
    options.suggest = false;
    Diagnoser kept(netlist.harness, options);
    std::mt19937 random(5);
    std::vector<std::vector<Observation>> sheets;
    for (int draw = 0; draw < (kSlowBuild ? 1 : 2); ++draw) {
      const Trial trial = trials.take({trials.draw_fault(random)}, random);
      std::vector<Observation> some = trial.readings;
      sheets.push_back(some);
      some.resize(some.size() / 2);
      sheets.push_back(some);
    }
    for (const auto& sheet : sheets) kept.diagnose(sheet);
    for (auto sheet = sheets.rbegin(); sheet != sheets.rend(); ++sheet) {
      INFO(path << ", " << sheet->size() << " readings");
      CHECK(answer_of(netlist.harness, kept.diagnose(*sheet)) ==
            answer_of(netlist.harness, diagnose(netlist.harness, *sheet, options)));
    }
  }
}
