#include "study/study.h"

#include <algorithm>

#include "study/findings.h"
#include "study/inside/lone_fault.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

Netlist smallest() { return worked_harness(worked_harnesses().front()); }

bool same(const Case& x, const Case& y) {
  bool ills = x.ills.size() == y.ills.size();
  for (std::size_t i = 0; ills && i < x.ills.size(); ++i)
    ills = x.ills[i].fault == y.ills[i].fault && x.ills[i].size == y.ills[i].size;
  return ills && x.verdict == y.verdict && x.sound == y.sound && x.seconds == y.seconds &&
         x.named == y.named && x.readings == y.readings && x.claims.size() == y.claims.size();
}

}  // namespace

TEST_CASE("a case depends on its seed and number, not on what ran before", "[study]") {
  const Netlist netlist = smallest();
  StudyOptions options;
  options.slips = 0.1;
  Study forward(netlist.harness, netlist.id, options);
  Study backward(netlist.harness, netlist.id, options);
  std::vector<Case> first, second(12);
  for (std::size_t n = 0; n < 12; ++n) first.push_back(forward.run(n));
  for (std::size_t n = 12; n-- > 0;) second[n] = backward.run(n);
  bool differ = false;
  for (std::size_t n = 0; n < 12; ++n) {
    CHECK(same(first[n], second[n]));
    differ = differ || !same(first[n], first[0]);
  }
  CHECK(differ);
}

TEST_CASE("no reading of a sound specimen leaves its band, on any worked harness", "[study]") {
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    StudyOptions options;
    options.ills = Ills::None;
    options.meter.leads_low = 0;
    options.meter.leads_high = 0.5;
    Study study(netlist.harness, netlist.id, options);
    for (std::size_t n = 0; n < (kSlowBuild ? 1 : 8); ++n) {
      INFO(path << " case " << n);
      const Case one = study.run(n);
      CHECK_FALSE(one.alarmed);
    }
  }
}

TEST_CASE("a fault that the plan must show makes a reading wrong, whatever the values drawn", "[study]") {
  for (std::size_t h : {0UL, 1UL, 5UL}) {
    const Netlist netlist = worked_harness(worked_harnesses()[h]);
    for (const Ills ills : {Ills::Open, Ills::High, Ills::Short, Ills::Value}) {
      StudyOptions options;
      options.ills = ills;
      options.whole_sheet = true;
      Study study(netlist.harness, netlist.id, options);
      std::size_t seen = 0;
      for (std::size_t n = 0; n < (kSlowBuild ? 3 : 25); ++n) {
        INFO(netlist.harness.name << " " << ills_name(ills) << " case " << n);
        const Case one = study.run(n);
        REQUIRE(one.ills.size() == 1);
        seen += one.visible ? 1 : 0;
        if (one.visible) CHECK(one.alarmed);
      }
      if (!kSlowBuild) CHECK(seen > 0);
    }
  }
}

TEST_CASE("an invisible fault is told from a missed one", "[study]") {
  Findings findings;
  Case hidden;
  hidden.ills.push_back({});
  hidden.verdict = Verdict::Sound;
  findings.add(hidden);
  CHECK(findings.all.cases == 1);
  CHECK(findings.all.visible == 0);
  CHECK(findings.mishaps.empty());
  Case missed = hidden;
  missed.number = 7;
  missed.visible = true;
  findings.add(missed);
  CHECK(findings.all.missed == 1);
  REQUIRE(findings.mishaps.size() == 1);
  CHECK(findings.mishaps[0].number == 7);
}

TEST_CASE("suspects are counted by what they were given", "[study]") {
  Findings findings;
  Case one;
  one.claims = {{0.99, true}, {0.04, false}, {1.0, true}};
  findings.add(one);
  CHECK(findings.stated.back().claims == 2);
  CHECK(findings.stated.back().right == 2);
  CHECK_THAT(findings.stated.back().expected, WithinRel(1.99, 1e-9));
  CHECK(findings.stated.front().claims == 1);
}

// The truth is one of the explanations: whatever the values drawn, a fault lies within the limits that it leaves each reading.
TEST_CASE("by itself a fault may have shown its own sheet, and not what takes two", "[study]") {
  for (std::size_t h : {0UL, 1UL, 5UL}) {
    const Netlist netlist = worked_harness(worked_harnesses()[h]);
    const std::vector<Fault> faults = faults_at(netlist.harness, {});
    StudyOptions options;
    options.ills = Ills::Any;
    options.whole_sheet = true;
    Study study(netlist.harness, netlist.id, options);
    std::vector<const Step*> steps;
    for (const Step& step : study.plan().steps) {
      if (step.kind == StepKind::Sweep || (step.kind == StepKind::Read && !step.capacitance))
        steps.push_back(&step);
    }
    study::inside::LoneFault lone(netlist.harness, faults, study.plan(), steps, options.meter, {});
    for (std::size_t n = 0; n < (kSlowBuild ? 3 : 20); ++n) {
      const Study::Followed followed = study.follow(n);
      INFO(netlist.harness.name << " case " << n << ": "
                                << in_words(netlist.harness, followed.end.ills.front().fault));
      const auto it = std::find(faults.begin(), faults.end(), followed.end.ills.front().fault);
      REQUIRE(it != faults.end());
      CHECK(lone.may_show(static_cast<std::size_t>(it - faults.begin()), followed.observations));
      CHECK(lone.explaining(followed.observations));
    }
  }
  StudyOptions two;
  two.ills = Ills::Any;
  two.pairs = true;
  two.whole_sheet = true;
  const Netlist netlist = smallest();
  Study study(netlist.harness, netlist.id, two);
  std::size_t takes_two = 0;
  std::size_t one_may = 0;
  for (std::size_t n = 0; n < 40; ++n) {
    const Case one = study.run(n);
    if (one.visible) ++(one.lone ? one_may : takes_two);
  }
  CHECK(takes_two > 0);
  CHECK(one_may > 0);
}

TEST_CASE("two faults at once lie in two places", "[study]") {
  const Netlist netlist = smallest();
  StudyOptions options;
  options.ills = Ills::Open;
  options.pairs = true;
  options.whole_sheet = true;
  Study study(netlist.harness, netlist.id, options);
  for (std::size_t n = 0; n < 10; ++n) {
    const Case one = study.run(n);
    REQUIRE(one.ills.size() == 2);
    CHECK_FALSE(one.ills[0].fault.element == one.ills[1].fault.element);
  }
}
