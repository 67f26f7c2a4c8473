// What is asked with no reading or few: outside for as long as outside tells. Which three probes a complaint gets stands in
// docs/diagnosis.md beside common practice.

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "intake/complaint.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

double entropy(const std::map<std::vector<int>, double>& shares) {
  double bits = 0;
  for (const auto& [key, share] : shares) bits -= share > 0 ? share * std::log2(share) : 0;
  return bits;
}

// Whether two faults are one thing to look at: the same element, or the same points.
bool one_place(const Fault& x, const Fault& y) {
  return (x.element && x.element == y.element) || x.points == y.points;
}

// A plain reading: two points in a setting.
struct Between {
  PointId a, b;
  Setting setting;
};

// How often what crackles or cuts out is there while a plain reading is taken.
constexpr double kThere = 0.3;

// What a reading says about the place at the least, once others are taken, whatever they show: readings that lie within a
// third of each other count as one, though any meter tells many of them apart. By no formula of the diagnosis: every faulty
// circuit is solved by itself. `there`: how often a fault shows itself at all.
double at_least(const Harness& harness, const Diagnosis& diagnosis, const Between& asked,
                const std::vector<Between>& taken, double there) {
  std::vector<const Fault*> faults{nullptr};
  std::vector<double> shares{diagnosis.sound};
  std::vector<int> places{-1};
  std::vector<const Fault*> known;
  double total = diagnosis.sound;
  for (const Suspect& suspect : diagnosis.suspects) {
    if (suspect.also || suspect.probability < 0.005 || suspect.fault.mode == Mode::High ||
        suspect.fault.mode == Mode::Value)
      continue;
    const auto place = std::find_if(known.begin(), known.end(),
                                    [&](const Fault* each) { return one_place(*each, suspect.fault); });
    const auto number = static_cast<int>(place - known.begin());
    if (place == known.end()) known.push_back(&suspect.fault);
    for (const Fault* fault : {&suspect.fault, static_cast<const Fault*>(nullptr)}) {
      faults.push_back(fault);
      shares.push_back(suspect.probability * (fault ? there : 1 - there));
      places.push_back(number);
    }
    total += suspect.probability;
  }
  // Which outcome each shows.
  const auto outcomes = [&](const Between& at) {
    const State state{at.setting, {}, false, {}, {}};
    std::vector<double> ohms;
    for (const Fault* fault : faults)
      ohms.push_back(true_ohms(harness, state, at.a, at.b, fault).value_or(HUGE_VAL));
    std::vector<std::size_t> order(ohms.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t x, std::size_t y) { return ohms[x] < ohms[y]; });
    std::vector<int> outcome(ohms.size());
    int now = 0;
    for (std::size_t k = 0; k < order.size(); ++k) {
      if (k > 0 && ohms[order[k]] > 1.33 * ohms[order[k - 1]] + 50) ++now;
      outcome[order[k]] = now;
    }
    return outcome;
  };
  std::vector<std::vector<int>> given(faults.size());
  for (const Between& each : taken) {
    const std::vector<int> shown = outcomes(each);
    for (std::size_t h = 0; h < faults.size(); ++h) given[h].push_back(shown[h]);
  }
  const std::vector<int> shown = outcomes(asked);
  std::map<std::vector<int>, double> told, with_shown, with_place, with_both;
  for (std::size_t h = 0; h < faults.size(); ++h) {
    const auto key = [&](std::initializer_list<int> more) {
      std::vector<int> full = given[h];
      full.insert(full.end(), more);
      return full;
    };
    const double share = shares[h] / total;
    told[key({})] += share;
    with_shown[key({shown[h]})] += share;
    with_place[key({places[h]})] += share;
    with_both[key({shown[h], places[h]})] += share;
  }
  return entropy(with_shown) + entropy(with_place) - entropy(with_both) - entropy(told);
}

// A probe that opens the instrument, though one outside would have said enough: what that one says, else 0.
double wrongly_opened(const Harness& harness, const Diagnosis& diagnosis, const NextProbe& probe,
                      const std::vector<Between>& taken, const std::vector<Between>& told = {},
                      double there = 1) {
  if (probe.access.depth == 0 || probe.access.name == "bench") return 0;
  const std::vector<PointId> outside = reachable(harness, {}, 0);
  double most = 0;
  for (const Setting& setting : settings_to_try(harness, {})) {
    if (turns_between(harness, probe.setting, setting) > 1) continue;
    for (std::size_t i = 0; i < outside.size(); ++i) {
      for (std::size_t j = i + 1; j < outside.size(); ++j) {
        const auto at_it = [&](const Between& each) {
          return each.setting == setting &&
                 std::minmax(each.a, each.b) == std::minmax(outside[i], outside[j]);
        };
        const bool known =
            std::any_of(taken.begin(), taken.end(), at_it) || std::any_of(told.begin(), told.end(), at_it);
        const Circuit circuit = circuit_of(harness, {setting, {}, false, {}, {}});
        if (known || !circuit.has(outside[i]) || !circuit.has(outside[j])) continue;
        most = std::max(most, at_least(harness, diagnosis, {outside[i], outside[j], setting}, told, there));
      }
    }
  }
  return most;
}

}  // namespace

// One position dead, all dead, weak, a buzz that stops on touch, one that doesn't, crackle, comes and goes, the tone does
// nothing, the split (or what there is of its kind) does nothing.
TEST_CASE("no complaint opens an instrument that the plug still tells of", "[diagnosis]") {
  const std::map<std::string, std::vector<const char*>> complaints{
      {"fernhollow-2",
       {"silent with selector front", "dead", "weak", "buzzes until touched", "buzzes", "crackles",
        "cuts out", "tone does nothing", "selector all the same"}},
      {"fernhollow-4",
       {"silent with toggle front", "dead", "weak", "buzzes until touched", "buzzes", "crackles", "cuts out",
        "front-tone does nothing", "toggle all the same"}},
      {"fernhollow-6",
       {"silent with lever middle", "dead", "weak", "buzzes until touched", "buzzes", "crackles", "cuts out",
        "tone does nothing", "split does nothing"}},
  };
  for (const std::string& path : worked_harnesses()) {
    const std::size_t slash = path.rfind('/') + 1;
    const auto known = complaints.find(path.substr(slash, path.rfind('.') - slash));
    if (known == complaints.end()) continue;
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    DiagnosisOptions options;
    options.scope = scope_of(plan_for(harness, netlist.id, {}));
    Diagnoser diagnoser(harness, options);
    for (const char* complaint : known->second) {
      INFO(harness.name << ": " << complaint);
      const ComplaintFound heard = read_complaint(complaint, harness);
      INFO(heard.refusal.why());
      REQUIRE(heard.heard);
      const Diagnosis diagnosis = diagnoser.diagnose({}, {*heard.heard});
      CHECK(diagnosis.verdict != Verdict::Sound);
      REQUIRE(diagnosis.next);
      CHECK(diagnosis.first.size() == 3);
      CHECK(diagnosis.next->a == diagnosis.first.front().a);
      CHECK(diagnosis.next->b == diagnosis.first.front().b);
      const std::string said = complaint;
      const double there = said == "crackles" || said == "cuts out" ? kThere : 1;
      std::vector<Between> told;
      for (const NextProbe& probe : diagnosis.first) {
        INFO("probe " << &probe - diagnosis.first.data() + 1);
        CHECK(wrongly_opened(harness, diagnosis, probe, {}, told, there) < 0.3);
        if (!probe.swept && probe.wiggled.empty()) told.push_back({probe.a, probe.b, probe.setting});
      }
    }
  }
}

TEST_CASE("a shock stops it all: no probe, and never sound", "[diagnosis]") {
  const Netlist netlist = worked_harness(worked_harnesses()[1]);
  const Harness& harness = netlist.harness;
  DiagnosisOptions options;
  const Plan plan = plan_for(harness, netlist.id, {});
  options.scope = scope_of(plan);
  const Heard heard = read_complaint("shock", harness).heard.value();
  for (const std::vector<Observation>& seen :
       {std::vector<Observation>{}, take_readings(harness, plan, nullptr)}) {
    const Diagnosis diagnosis = diagnose(harness, seen, options, {heard});
    CHECK(diagnosis.verdict == Verdict::Unsure);
    CHECK_FALSE(diagnosis.next);
    CHECK(diagnosis.first.empty());
    CHECK(diagnosis.advice == kShockCaution);
  }
}

TEST_CASE("with the plug reading open, what is still to be told outside is asked outside", "[diagnosis]") {
  std::size_t asked = 0;
  for (std::size_t h : {0UL, 1UL, 4UL}) {
    const Netlist netlist = worked_harness(worked_harnesses()[h]);
    const Harness& harness = netlist.harness;
    const Plan plan = plan_for(harness, netlist.id, {});
    for (std::size_t f = 0; f < plan.faults.size(); f += kSlowBuild ? 23 : 7) {
      const Fault& fault = plan.faults[f];
      std::vector<Observation> seen;
      std::vector<Between> taken;
      for (const Step& step : plan.steps) {
        if (step.kind != StepKind::Read || step.access.depth > 0) continue;
        seen.push_back(observe(harness, step, plan.options, &fault));
        taken.push_back({seen.back().a, seen.back().b, seen.back().setting});
        const Diagnosis diagnosis = diagnose(harness, seen, {});
        INFO(harness.name << ": " << in_words(harness, fault) << " after " << seen.size());
        if (diagnosis.next) {
          ++asked;
          CHECK(wrongly_opened(harness, diagnosis, *diagnosis.next, taken) < 0.3);
        }
        if (seen.size() >= 2) break;
      }
    }
  }
  CHECK(asked > 10);
}

// Jack to sleeve off: every reading at the plug is open, and only what does not pass the plug's sleeve can tell.
TEST_CASE("with the sleeve's wire off, the strings are asked before the cavity", "[diagnosis]") {
  const Netlist netlist = worked_harness(worked_harnesses()[1]);
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  const auto fault = std::find_if(plan.faults.begin(), plan.faults.end(), [&](const Fault& each) {
    return each.mode == Mode::Open && each.site == Site::Wire &&
           harness[each.points.back()].name == "jack.sleeve";
  });
  REQUIRE(fault != plan.faults.end());
  std::vector<Observation> seen;
  const PointId tip = *harness.find_point("jack.plug-tip");
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Read && (step.a == tip || step.b == tip) && step.access.depth == 0)
      seen.push_back(observe(harness, step, plan.options, &*fault));
  }
  REQUIRE(!seen.empty());
  const Diagnosis diagnosis = diagnose(harness, seen, {});
  REQUIRE(diagnosis.next);
  CHECK(diagnosis.next->access.depth == 0);
}

namespace {

Diagnosis heard_on(const Netlist& netlist, const char* complaint) {
  const ComplaintFound heard = read_complaint(complaint, netlist.harness);
  REQUIRE(heard.heard);
  DiagnosisOptions options;
  options.scope = scope_of(plan_for(netlist.harness, netlist.id, {}));
  return diagnose(netlist.harness, {}, options, {*heard.heard});
}

Netlist fernhollow(int number) {
  for (const std::string& path : worked_harnesses()) {
    if (path.ends_with("-" + std::to_string(number) + ".yaml")) return worked_harness(path);
  }
  throw std::logic_error("no such harness");
}

}  // namespace

// Common practice, no source: the plug is read first, whatever is silent.
TEST_CASE("a silent instrument is read at the plug first, though its covers are within reach",
          "[diagnosis]") {
  const Netlist netlist = fernhollow(12);
  const Diagnosis found = heard_on(netlist, "silent");
  REQUIRE(found.next);
  for (const PointId point : {found.next->a, found.next->b})
    CHECK(netlist.harness[point].role == PointRole::Plug);
}

// Common practice, no source: strings to sleeve before a cavity is opened for shields.
TEST_CASE("a sweep that jumps is told to speak for the pot, and for nothing that would jump by a slip",
          "[diagnosis]") {
  for (const char* name : {"harnesses/fernhollow-2.yaml", "harnesses/fernhollow-4.yaml"}) {
    const Netlist netlist = netlist_of(name);
    const Diagnosis found = heard_on(netlist, "crackles");
    const auto sweep = std::find_if(found.first.begin(), found.first.end(),
                                    [](const NextProbe& probe) { return probe.swept.has_value(); });
    INFO(name);
    REQUIRE(sweep != found.first.end());
    REQUIRE(sweep->outcomes.size() == 2);
    const NextProbe::Outcome& jumps = sweep->outcomes[1];
    REQUIRE_FALSE(jumps.suspects.empty());
    const Fault& first = found.suspects[jumps.suspects.front()].fault;
    CHECK((first.site == Site::Track || first.site == Site::Wiper));
    CHECK_FALSE(jumps.sound);
    for (std::size_t k : jumps.suspects)
      CHECK((found.suspects[k].fault.mode == Mode::Open || found.suspects[k].fault.mode == Mode::High));
    CHECK(std::any_of(jumps.suspects.begin(), jumps.suspects.end(),
                      [&](std::size_t k) { return is_worn_track(found.suspects[k].fault); }));
  }
}

TEST_CASE(
    "a buzz that stops on touch begins with the string ground, and opens nothing before what is outside",
    "[diagnosis]") {
  for (const int number : {4, 6}) {
    const Netlist netlist = fernhollow(number);
    const Diagnosis found = heard_on(netlist, "buzzes until touched");
    REQUIRE(found.first.size() == 3);
    CHECK(netlist.harness[found.first[0].a].name == "jack.plug-sleeve");
    CHECK(netlist.harness[found.first[0].b].name == "hardware.strings");
    CHECK(found.first[1].access.depth == 0);
    CHECK(found.first[2].access.depth > 0);
  }
}

TEST_CASE("where a switch mutes it all, silent still says what is broken where it should sound",
          "[diagnosis]") {
  const Netlist netlist = netlist_from(R"(
lugwise: 1
name: Fernhollow 62
parts:
  single: {kind: pickup, dcr: 6.2k}
  kill: {kind: switch, lugs: [in, out], positions: {play: [[in, out]], mute: []}}
  volume: {kind: pot, track: 250k, taper: audio}
  jack: {kind: jack}
joints:
  - [kill.in, single.hot]
  - [volume.case, single.ground, volume.1]
wires:
  - [kill.out, volume.3]
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)");
  const Diagnosis found = heard_on(netlist, "silent");
  REQUIRE_FALSE(found.suspects.empty());
  CHECK(found.suspects.front().heard.front().weight > 0);
  CHECK(std::any_of(found.suspects.begin(), found.suspects.end(), [](const Suspect& each) {
    return each.fault.mode == Mode::Open && each.fault.site == Site::Coil;
  }));
}
