// Coverage, proven on harnesses drawn inside their tolerances. The planner's own book-keeping has no part in this: the fault
// is put into a drawn circuit, the circuit is solved, and the meter errs within its accuracy, its leads within their limits.
//
// LUGWISE_DRAWS says how many draws each fault gets, on each of five meters; without it a few, on one of them.

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>
#include <set>

#include "intake/instrument.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/draw.h"
#include "support/harness_from.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

int draws_asked() {
  const char* text = std::getenv("LUGWISE_DRAWS");
  return text ? std::atoi(text) : 0;
}

// Two as they are sold, and three that reach but part of what a harness has: a sound reading above their top is OL, sound
// or faulty.
std::vector<Meter> meters() {
  std::vector<Meter> list;
  for (const char* file : {"harnesses/meters/manual-2000.yaml", "harnesses/meters/auto-4000.yaml"}) {
    Diagnostics diagnostics(file);
    const auto meter = read_meter(file_text(file), diagnostics);
    REQUIRE(meter);
    list.push_back(*meter);
  }
  const auto with = [&](const std::vector<double>& tops, bool automatic) {
    Meter meter = assumed_meter();
    meter.ranges.clear();
    for (double top : tops) meter.ranges.push_back({top, 0.012, 3});
    meter.automatic = automatic;
    list.push_back(meter);
  };
  with({200, 2e3}, false);
  with({20e3}, false);
  with({200, 2e3, 20e3, 200e3}, true);
  return list;
}

// What is inside a module nobody knows: half of them join nothing, the others their points by anything.
void join_modules(const Circuit& circuit, std::vector<Resistor>& resistors, std::mt19937& random) {
  std::uniform_real_distribution<double> even(0, 1);
  for (const std::vector<PointId>& module : circuit.modules) {
    if (even(random) < 0.5) continue;
    for (std::size_t i = 1; i < module.size(); ++i)
      resistors.push_back({module[0].index, module[i].index, std::pow(10, 8 * even(random))});
  }
}

// A display: ohms, or none for OL.
using Shown = std::optional<double>;

// Errors anywhere within what a meter promises, the same for every range of it in one reading.
struct Errors {
  double share = 0, digits = 0, leads = 0;  // from -1 to 1

  explicit Errors(std::mt19937& random) {
    std::uniform_real_distribution<double> even(-1, 1);
    // What misleads the most is at the ends.
    const auto one = [&] { return even(random) < 0 ? std::copysign(1, even(random)) : even(random); };
    share = one();
    digits = one();
    leads = one();
  }
};

Shown display_of(const Meter& meter, const Range& set, std::optional<double> ohms, int plugs,
                 const Errors& errors) {
  if (!ohms) return std::nullopt;
  const double truth = *ohms + plugs * meter.cable / 2 + meter.leads_low +
                       (errors.leads + 1) / 2 * (meter.leads_high - meter.leads_low);
  for (const Range& range : meter.ranges) {
    if (!meter.automatic && range.top != set.top) continue;
    // No display goes below nothing.
    const double shown = std::max(
        0.0, truth * (1 + errors.share * range.share) + errors.digits * range.digits * meter.step(range));
    if (!over_range(meter, range, shown)) return std::round(shown / meter.step(range)) * meter.step(range);
  }
  return std::nullopt;
}

// What a step's display may show if all is sound: limits of the ohms, and the meter's errors at their ends. An automatic
// meter may take a lower range than the step's, which is finer.
struct Sound {
  bool over = false;
  double low = HUGE_VAL, high = -HUGE_VAL;

  Sound(const Harness& harness, const Step& step, const PlanOptions& options) {
    const Meter& meter = options.meter;
    const int plugs = (harness[step.a].role == PointRole::Plug) + (harness[step.b].role == PointRole::Plug);
    over = step.expected.open;
    if (over) return;
    for (const Range& range : meter.ranges) {
      if (!meter.automatic && range.top != step.range.top) continue;
      const Window shows = window(meter, range, step.expected.ohms, plugs);
      const double half = meter.step(range) * 0.500001;
      low = std::min(low, shows.low - half);
      high = std::max(high, shows.high + half);
      over = over_range(meter, range, shows.high);
      if (!over) break;
    }
  }

  bool holds(const Shown& shown) const { return shown ? *shown >= low && *shown <= high : over; }
};

// Whether a step's display of one drawn harness could be a sound one.
bool in_band(const Harness& harness, const Step& step, const PlanOptions& options, const Fault* fault,
             double size, std::mt19937& random) {
  const State state{step.setting, options.stage, step.access.depth > 0, step.lifted, options.temperature};
  Circuit circuit = circuit_of(harness, state);
  if (fault) circuit = with_fault(circuit, *fault, size);
  std::vector<Resistor> resistors = draw(circuit, random);
  join_modules(circuit, resistors, random);
  const Network network(circuit.points, std::move(resistors));
  const auto ohms = network.resistance(step.a.index, step.b.index);
  const int plugs = (harness[step.a].role == PointRole::Plug) + (harness[step.b].role == PointRole::Plug);
  return Sound(harness, step, options)
      .holds(display_of(options.meter, step.range, ohms, plugs, Errors(random)));
}

// From the size a plan promises up: that itself, then anything to a megohm, or to a tenth or ten times the value.
double size_of(const Plan& plan, std::size_t f, int draw, std::mt19937& random) {
  const double least = plan.sizes[f];
  std::uniform_real_distribution<double> even(0, 1);
  if (plan.faults[f].mode == Mode::High)
    return draw == 0 ? least : least * std::pow(std::max(1.0, 1e6 / least), even(random));
  if (plan.faults[f].mode != Mode::Value) return 0;
  const double factor = draw < 2 ? least : least * std::pow(10 / least, even(random));
  return draw % 2 == 0 ? factor : 1 / factor;
}

bool only_swept(const Plan& plan, std::size_t fault) {
  bool swept = false;
  for (const Step& step : plan.steps) {
    if (std::find(step.proves.begin(), step.proves.end(), fault) == step.proves.end()) continue;
    if (step.kind != StepKind::Sweep) return false;
    swept = true;
  }
  return swept;
}

void prove(const Netlist& netlist, const PlanOptions& options, int draws, std::mt19937& random) {
  const Plan plan = plan_for(netlist.harness, netlist.id, options);
  std::set<std::size_t> unseen;
  for (const Unseen& each : plan.unseen) unseen.insert(each.fault);
  std::vector<Step> reads;
  for (const Step& step : plan.steps) {
    if (step.kind == StepKind::Read && !step.capacitance) reads.push_back(step);
  }
  for (int draw = 0; draw < 5 * draws; ++draw) {
    for (const Step& step : reads) {
      INFO("sound, step " << step.number);
      CHECK(in_band(netlist.harness, step, options, nullptr, 0, random));
    }
  }
  for (std::size_t f = 0; f < plan.faults.size(); ++f) {
    const Fault& fault = plan.faults[f];
    // A worn track has no reading, nor has an open capacitor in ohms; motion_test.cpp and capacitance_test.cpp have them. A
    // broken track may show in a sweep alone.
    if (unseen.count(f) || is_worn_track(fault) || only_swept(plan, f) ||
        (fault.site == Site::Capacitor && fault.mode == Mode::Open))
      continue;
    for (int draw = 0; draw < draws; ++draw) {
      const double size = size_of(plan, f, draw, random);
      const bool shown = std::any_of(reads.begin(), reads.end(), [&](const Step& step) {
        return !in_band(netlist.harness, step, options, &fault, size, random);
      });
      INFO(in_words(netlist.harness, fault) << ", size " << size);
      CHECK(shown);
    }
  }
}

// All parts there, then every stage.
std::vector<std::optional<std::size_t>> stages_of(const Harness& harness) {
  std::vector<std::optional<std::size_t>> stages{std::nullopt};
  for (std::size_t s = 0; s < harness.stages().size(); ++s) stages.emplace_back(s);
  return stages;
}

}  // namespace

TEST_CASE("every fault a plan claims makes a step leave its band, and no sound draw does", "[plan]") {
  const std::vector<Meter> all = meters();
  const int asked = draws_asked();
  const int draws = asked > 0 ? asked : kSlowBuild ? 1 : 3;
  std::mt19937 random(11);
  std::size_t turn = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    for (const auto& stage : stages_of(netlist.harness)) {
      for (const Depth depth : {Depth::Full, Depth::Outside}) {
        ++turn;
        for (std::size_t m = 0; m < all.size(); ++m) {
          if (asked == 0 && m != turn % all.size()) continue;
          PlanOptions options;
          options.stage = stage;
          options.depth = depth;
          options.meter = all[m];
          INFO(path << ", stage " << (stage ? netlist.harness.stages()[*stage].name : "none") << ", meter "
                    << m);
          prove(netlist, options, draws, random);
        }
      }
    }
  }
}

TEST_CASE("so does every fault that a plan of another aim, with leads off, or after a repair claims",
          "[plan]") {
  const std::vector<Meter> all = meters();
  const int asked = draws_asked();
  const int draws = asked > 0 ? asked : 2;
  std::mt19937 random(12);
  std::size_t turn = 0;
  for (const std::string& path : worked_harnesses()) {
    const Netlist netlist = worked_harness(path);
    const Harness& harness = netlist.harness;
    for (const Aim aim : {Aim::Thorough, Aim::Quick, Aim::Usual}) {
      // Each harness in one aim where nothing more is asked.
      if (++turn % (kSlowBuild ? 7 : 4) != 0 && asked == 0) continue;
      for (std::size_t m = 0; m < all.size(); ++m) {
        if (asked == 0 && m != turn % all.size()) continue;
        PlanOptions options;
        options.aim = aim;
        options.meter = all[m];
        options.lift = aim != Aim::Quick;
        INFO(path << ", aim " << aim_name(aim) << ", meter " << m);
        prove(netlist, options, draws, random);
        if (aim != Aim::Usual) continue;
        options.lift = false;
        for (const Blob& blob : harness.blobs()) {
          if (blob.inside || blob.leads.size() < 3) continue;
          options.after = {blob.surface};
          INFO("after a repair at " << harness[blob.surface].name);
          prove(netlist, options, draws, random);
          break;
        }
      }
    }
  }
}
