// Tiny harnesses, on which every sequence of probes can be tried: the plan is as quick as the quickest.

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>

#include "intake/instrument.h"
#include "plan/inside/optimum.h"
#include "plan/inside/survey.h"
#include "plan/inside/sweeps.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::plan::inside;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

// One probe, as the search goes through them.
struct Stop {
  std::size_t survey;
  Candidate probe;
  FaultSet shows;
};

class Exhaustive {
 public:
  Exhaustive(const Harness& harness, const Plan& plan) : harness_(harness), costs_(plan.options.costs) {
    const std::vector<Setting> settings = settings_to_try(harness, std::nullopt);
    settings_ = settings;
    accesses_ = accesses(harness);
    wanted_ = outside_ = FaultSet(plan.faults.size());
    const std::vector<Ohms> sizes(plan.faults.size(), 0);
    for (std::size_t s = 0; s < accesses_.size(); ++s) {
      Survey here = survey(harness, plan.faults, sizes, plan.options, settings, accesses_[s]);
      add_sweeps(harness, plan.faults, plan.options, here);
      for (std::size_t c = 0; c < here.candidates.size(); ++c) {
        FaultSet shows(plan.faults.size());
        shows |= here.set(c);
        wanted_ |= shows;
        if (accesses_[s].depth == 0) outside_ |= shows;
        stops_.push_back({s, here.candidates[c], shows});
      }
    }
  }

  // The least seconds below `limit`, or `limit`, of what shows outside; and from the last of these steps on, of all the rest.
  double least_outside(double limit) {
    best_ = limit;
    target_ = outside_;
    go(nullptr, FaultSet(wanted_.words().size() * 64), 0);
    return best_;
  }
  double least_after(const Step* last, double limit) {
    best_ = limit;
    target_ = wanted_;
    const Stop* from = nullptr;
    for (const Stop& stop : stops_) {
      if (last && accesses_[stop.survey].depth == last->access.depth &&
          settings_[stop.probe.setting] == last->setting && stop.probe.swept == last->swept &&
          std::minmax(stop.probe.a, stop.probe.b) == std::minmax(last->a, last->b))
        from = &stop;
    }
    go(from, outside_, 0);
    return best_;
  }

  std::size_t stops() const { return stops_.size(); }

 private:
  double seconds(const Stop* from, const Stop& to) const {
    double sum = to.probe.swept ? costs_.sweep : costs_.read;
    const Setting start(harness_);
    sum += costs_.turn_control *
           turns_between(harness_, from ? settings_[from->probe.left] : start, settings_[to.probe.setting]);
    for (PointId point : {to.probe.a, to.probe.b})
      sum += from && (from->probe.a == point || from->probe.b == point) ? 0 : costs_.move_probe;
    if (from && from->probe.range != to.probe.range) sum += costs_.change_range;
    const int depth = from ? accesses_[from->survey].depth : 0;
    if (accesses_[to.survey].depth >= 1 && depth < 1) sum += costs_.open_cavity;
    return sum;
  }

  void go(const Stop* from, const FaultSet& shown, double so_far) {
    if (shown.contains(target_)) {
      best_ = so_far;
      return;
    }
    for (const Stop& stop : stops_) {
      if (from && stop.survey < from->survey) continue;
      // Nothing is opened before all is shown that shows outside.
      if (accesses_[stop.survey].depth > 0 && !shown.contains(outside_)) continue;
      if (shown.contains(stop.shows)) continue;
      const double now = so_far + seconds(from, stop);
      FaultSet more = shown;
      more |= stop.shows;
      const double rest = more.contains(target_) ? 0 : costs_.read;
      if (now + rest < best_ - 1e-9) go(&stop, more, now);
    }
  }

  const Harness& harness_;
  Costs costs_;
  std::vector<Setting> settings_;
  std::vector<Access> accesses_;
  std::vector<Stop> stops_;
  FaultSet wanted_, outside_, target_;
  double best_ = 0;
};

}  // namespace

// No share of faulty instruments: then the route weighs seconds only, and these can be counted.
TEST_CASE("on tiny harnesses no sequence of probes outside, nor after it inside, is quicker than the plan",
          "[plan]") {
  const char* const kTiny[] = {R"(
parts:
  jack:     {kind: jack}
  hardware: {kind: metal, points: [bridge]}
wires:
  - [jack.sleeve, hardware.bridge]
)",
                               R"(
parts:
  dummy: {kind: resistor, value: 6.8k, reach: outside}
  kill:  {kind: switch, lugs: [a, b], positions: {off: [], on: [[a, b]]}, reach: outside}
joints:
  - [kill.a, dummy.1]
  - [kill.b, dummy.2]
)",
                               R"(
parts:
  volume: {kind: pot, track: 250k, taper: linear, reach: outside}
  load:   {kind: resistor, value: 10k, reach: outside}
joints:
  - [volume.3, load.1]
)"};
  for (const char* text : kTiny) {
    const Netlist netlist = netlist_from(text);
    PlanOptions options;
    options.costs.faulty = 0;
    const Plan plan = plan_for(netlist.harness, netlist.id, options);
    INFO(text);
    REQUIRE(plan.seconds > 0);
    Exhaustive all(netlist.harness, plan);
    CHECK(all.stops() > 5);
    PlanOptions outside = options;
    outside.depth = Depth::Outside;
    const Plan first = plan_for(netlist.harness, netlist.id, outside);
    const bool parts = accesses(netlist.harness).front().depth == 0;
    const double before = parts ? first.seconds : 0;
    if (parts) CHECK_THAT(all.least_outside(before + 1), WithinRel(before, 1e-9));
    const Step* last = nullptr;
    for (const Step& step : plan.steps) {
      if (step.access.depth == 0 && (step.kind == StepKind::Read || step.kind == StepKind::Sweep))
        last = &step;
    }
    CHECK_THAT(before + all.least_after(last, plan.seconds - before + 1), WithinRel(plan.seconds, 1e-9));
    CHECK(plan.least_seconds <= plan.seconds + 1e-9);
    if (plan.steps.back().access.depth == 0) CHECK_THAT(plan.least_seconds, WithinRel(plan.seconds, 1e-9));
  }
}

namespace {

// The quickest plan by going through everything that can be known by then: the least seconds to each set of faults shown
// with each last stop, set by set, as every stop adds to the set or is not made.
double quickest(const Harness& harness, const Costs& costs, const Survey& survey, std::size_t faults) {
  const std::size_t all = (std::size_t{1} << faults) - 1;
  const std::size_t stops = survey.candidates.size();
  std::vector<double> least((all + 1) * stops, HUGE_VAL);
  const auto seconds = [&](const Candidate* from, const Candidate& to) {
    double sum = to.swept ? costs.sweep : costs.read;
    sum += costs.turn_control * turns_between(harness, from ? survey.settings[from->left] : Setting(harness),
                                              survey.settings[to.setting]);
    for (PointId point : {to.a, to.b})
      sum += from && (from->a == point || from->b == point) ? 0 : costs.move_probe;
    return sum + (from && from->range != to.range ? costs.change_range : 0);
  };
  for (std::size_t s = 0; s < stops; ++s) {
    double& begun = least[*survey.set(s) * stops + s];
    begun = std::min(begun, seconds(nullptr, survey.candidates[s]));
  }
  double best = HUGE_VAL;
  for (std::size_t shown = 0; shown <= all; ++shown) {
    for (std::size_t s = 0; s < stops; ++s) {
      const double here = least[shown * stops + s];
      if (here == HUGE_VAL) continue;
      if (shown == all) best = std::min(best, here);
      for (std::size_t t = 0; t < stops; ++t) {
        const std::size_t more = shown | *survey.set(t);
        if (more == shown) continue;
        double& there = least[more * stops + t];
        there = std::min(there, here + seconds(&survey.candidates[s], survey.candidates[t]));
      }
    }
  }
  return best;
}

}  // namespace

TEST_CASE("the optimum of random readings and sweeps is that of going through all plans", "[plan]") {
  const Harness harness = harness_from(R"(
parts:
  tone:   {kind: pot, track: 250k, reach: outside}
  kill:   {kind: switch, lugs: [a, b, c], positions: {up: [[a, b]], mid: [], down: [[b, c]]}, reach: outside}
)");
  const std::vector<Setting> settings = settings_to_try(harness, std::nullopt);
  REQUIRE(settings.size() >= 6);
  const PartId knob = harness.controls().front();
  std::mt19937 random(5);
  const auto below = [&](std::size_t n) { return static_cast<std::uint32_t>(random() % n); };
  std::size_t exact = 0;
  for (int round = 0; round < 200; ++round) {
    const std::size_t faults = 2 + below(7);
    Survey survey(faults);
    survey.settings = settings;
    FaultSet wanted(faults);
    std::uint64_t all = 0;
    const std::size_t count = 3 + below(30);
    for (std::size_t c = 0; c < count; ++c) {
      Candidate probe;
      probe.setting = probe.left = below(settings.size());
      probe.a = PointId{below(3)};
      probe.b = PointId{3 + below(3)};
      probe.range = below(3);
      std::uint64_t set = 0;
      for (std::size_t f = 0; f < faults; ++f) set |= std::uint64_t{below(4) == 0} << f;
      Setting turned = settings[probe.setting];
      turned.turn(knob, turned.knob(knob) == 0 ? 10 : 0);
      const auto end = std::find(settings.begin(), settings.end(), turned);
      if (below(3) == 0 && end != settings.end()) {
        probe.swept = knob;
        probe.left = static_cast<std::uint32_t>(end - settings.begin());
      }
      if (set == 0) continue;
      all |= set;
      survey.add(probe, FaultSet(&set, 1));
    }
    for (std::size_t f = 0; f < faults; ++f) {
      if ((all >> f & 1) != 0) wanted.add(f);
    }
    if (wanted.size() < faults) continue;
    const Costs costs;
    const double best = quickest(harness, costs, survey, faults);
    const std::vector<Survey> surveys{survey};
    // Given a slower plan it finds the quickest; given that, it finds none quicker; and cut short it promises no more.
    const Optimum found = find_optimum(harness, costs, surveys, 0, wanted, best + 5);
    CHECK_THAT(found.least, WithinRel(best, 1e-9));
    CHECK_FALSE(found.quicker.empty());
    const Optimum proved = find_optimum(harness, costs, surveys, 0, wanted, best);
    CHECK_THAT(proved.least, WithinRel(best, 1e-9));
    CHECK(proved.quicker.empty());
    CHECK(find_optimum(harness, costs, surveys, 0, wanted, best + 5, below(2000)).least <= best + 1e-9);
    // What it found does take so long, and shows all.
    FaultSet rest = wanted;
    Survey alone(faults);
    alone.settings = settings;
    for (const RouteChoice& choice : found.quicker) {
      rest -= survey.set(choice.candidate);
      alone.add(survey.candidates[choice.candidate], FaultSet(survey.set(choice.candidate), 1));
    }
    CHECK(rest.empty());
    CHECK_THAT(quickest(harness, costs, alone, faults), WithinRel(best, 1e-9));
    ++exact;
  }
  CHECK(exact > 100);
}

// The bound is proven, so both are near the quickest plan there is.
TEST_CASE("no worked harness's plan takes more than 12 % above its bound", "[plan]") {
  Diagnostics diagnostics("auto-6000.yaml");
  const auto with_capacitance = read_meter(file_text("harnesses/meters/auto-6000.yaml"), diagnostics);
  REQUIRE(with_capacitance);
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const Meter& meter : {netlist.meter.value_or(assumed_meter()), *with_capacitance}) {
      PlanOptions options;
      options.meter = meter;
      const Plan plan = plan_for(netlist.harness, netlist.id, options);
      INFO(path << (meter.capacitance.empty() ? "" : ", with capacitance ranges"));
      CHECK(plan.least_seconds <= plan.seconds + 1e-9);
      CHECK(plan.seconds <= 1.12 * plan.least_seconds);
    }
  }
}

TEST_CASE("where nothing is opened most worked harnesses' plans are the quickest there are", "[plan]") {
  std::size_t quickest = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    PlanOptions options;
    options.depth = Depth::Outside;
    const Plan plan = plan_for(netlist.harness, netlist.id, options);
    INFO(path);
    CHECK(plan.least_seconds <= plan.seconds + 1e-9);
    if (plan.least_seconds >= plan.seconds - 1e-9) ++quickest;
  }
  // On one the search ends unproven, on one a reading goes before a sweep that would save a turn.
  CHECK(quickest + 2 >= worked_harnesses().size());
}
