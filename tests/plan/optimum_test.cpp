// Tiny harnesses, on which every sequence of probes can be tried: the plan is as quick as the quickest.

#include <algorithm>
#include <optional>

#include "plan/inside/survey.h"
#include "plan/inside/sweeps.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

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
    wanted_ = FaultSet(plan.faults.size());
    const std::vector<Ohms> sizes(plan.faults.size(), 0);
    for (std::size_t s = 0; s < accesses_.size(); ++s) {
      Survey here = survey(harness, plan.faults, sizes, plan.options, settings, accesses_[s]);
      add_sweeps(harness, plan.faults, plan.options, here);
      for (std::size_t c = 0; c < here.candidates.size(); ++c) {
        FaultSet shows(plan.faults.size());
        shows |= here.set(c);
        wanted_ |= shows;
        stops_.push_back({s, here.candidates[c], shows});
      }
    }
  }

  // The least seconds below `limit`, or `limit`.
  double least(double limit) {
    best_ = limit;
    go(nullptr, FaultSet(wanted_.words().size() * 64), 0);
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
    if (shown.contains(wanted_)) {
      best_ = so_far;
      return;
    }
    for (const Stop& stop : stops_) {
      if (from && stop.survey < from->survey) continue;
      if (shown.contains(stop.shows)) continue;
      const double now = so_far + seconds(from, stop);
      FaultSet more = shown;
      more |= stop.shows;
      const double rest = more.contains(wanted_) ? 0 : costs_.read;
      if (now + rest < best_ - 1e-9) go(&stop, more, now);
    }
  }

  const Harness& harness_;
  Costs costs_;
  std::vector<Setting> settings_;
  std::vector<Access> accesses_;
  std::vector<Stop> stops_;
  FaultSet wanted_;
  double best_ = 0;
};

}  // namespace

// No share of faulty instruments: then the route weighs seconds only, and these can be counted.
TEST_CASE("on tiny harnesses no sequence of probes is quicker than the plan", "[plan]") {
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
    CHECK(all.least(plan.seconds + 1) == Approx(plan.seconds));
    CHECK(plan.least_seconds <= plan.seconds + 1e-9);
  }
}
