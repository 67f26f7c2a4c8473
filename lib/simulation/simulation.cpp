#include "simulation/simulation.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <string_view>

#include "handling/handling.h"
#include "handling/watched.h"
#include "sheet/step_reading.h"
#include "simulation/meter_in_use.h"
#include "source/fingerprint.h"

namespace lugwise {
namespace {

// Where a knob is looked at while it turns.
constexpr std::array kPlaces{1.0, 2.5, 5.0, 7.5, 9.0};

// A place as a number, the same on every machine.
class PlaceHash {
 public:
  void add(std::string_view text) {
    whole_.add(text);
    whole_.add_byte(0);
  }
  void add(double value) {
    std::uint64_t bits = 0;
    std::memcpy(&bits, &value, sizeof bits);
    for (int i = 0; i < 8; ++i) whole_.add_byte(static_cast<unsigned char>(bits >> (8 * i)));
  }
  std::uint64_t value() const { return whole_.value(); }

 private:
  Fingerprint whole_;
};

std::uint64_t number_of(const Harness& harness, const Observation& seen, const Range& range,
                        std::size_t again) {
  PlaceHash hash;
  hash.add(static_cast<double>(seen.action));
  // Which tip is where makes no difference.
  std::array<std::string, 2> tips{harness[seen.a].name, harness[seen.b].name};
  std::sort(tips.begin(), tips.end());
  for (const std::string& tip : tips) hash.add(tip);
  for (PartId control : harness.controls()) hash.add(seen.setting.place_name(harness, control));
  hash.add(seen.access.depth > 0 ? "open" : "closed");
  for (PointId point : seen.lifted) hash.add(harness[point].name);
  for (PointId point : seen.wiggled) hash.add(harness[point].name);
  if (seen.swept) hash.add(harness[*seen.swept].name);
  if (seen.capacitor) hash.add("farads");
  hash.add(range.top);
  hash.add(static_cast<double>(again));
  return hash.value();
}

}  // namespace

class Simulation::Bench {
 public:
  Bench(const Harness& harness, const std::vector<Fault>& faults, std::vector<Ailment> ailments,
        const SimulationOptions& options)
      : harness_(harness),
        options_(options),
        dice_(options.seed, 0),
        wired_(harness, options.stage, faults),
        specimen_(wired_, std::move(ailments), dice_, options.temperature),
        meter_(options.meter, dice_) {}

  void take(Observation& seen, const Range& range, std::size_t again) {
    Dice dice(options_.seed, number_of(harness_, seen, range, again));
    switch (seen.action) {
      case Action::Read:
        read(seen, range, dice);
        break;
      case Action::Sweep:
        // A meter that picks its ranges shows each end on one of its own.
        if (!options_.meter.automatic) seen.range = range;
        seen.ends = ends(seen, range, dice);
        told(seen, jumps(seen, range, dice), Shows::Jumps, "jumps", Shows::Smooth, "smooth");
        break;
      case Action::Wiggle:
        seen.range = range;
        told(seen, moves(seen, range, dice), Shows::Unstable, "unstable", Shows::Steady, "steady");
        break;
    }
  }

 private:
  static void told(Observation& seen, bool yes, Shows if_yes, const char* yes_text, Shows if_no,
                   const char* no_text) {
    seen.shows = yes ? if_yes : if_no;
    seen.text = yes ? yes_text : no_text;
  }

  Workbench::Place place_of(const Observation& seen) const {
    return {seen.setting, seen.access.depth > 0, seen.lifted};
  }

  int plugs(PointId a, PointId b) const { return plugs_among(harness_, a, b); }

  // What stands on the display at both stops of a sweep, the one it starts from first; nothing where one won't settle.
  std::vector<Display> ends(const Observation& sweep, const Range& range, Dice& dice) {
    std::vector<Display> shown;
    for (const Setting& setting : {sweep.setting, other_end(sweep.setting, *sweep.swept)}) {
      Observation still = sweep;
      still.action = Action::Read;
      still.setting = setting;
      read(still, range, dice);
      if (still.shows != Shows::Value && still.shows != Shows::OverRange) return {};
      // A slip of the decimal point is one of the range: the end then stands on a range of its own.
      const bool elsewhere = still.range && still.range->top != range.top;
      shown.push_back(
          {still.shows, still.value, still.resolution, still.text, elsewhere ? still.range : std::nullopt});
    }
    return shown;
  }

  void read(Observation& seen, const Range& range, Dice& dice) {
    if (seen.capacitor) return read_farads(seen, range, dice);
    const Workbench::Place place = place_of(seen);
    std::optional<Ohms> ohms = specimen_.ohms(place, seen.a, seen.b);
    double scale = 1;
    if (options_.slips > 0 && dice.chance(options_.slips)) slip(place, seen, dice, ohms, scale);
    Observation shown = seen;
    meter_.show(ohms, plugs(seen.a, seen.b), range, dice, shown, scale);
    // A decimal point in the wrong place is a reading that the meter can show on the next range, if it has one.
    if (scale != 1 && shown.shows == Shows::Value) misread(shown, scale);
    seen = shown;
  }

  // The display of a neighbouring range, with the same figures.
  void misread(Observation& shown, double scale) const {
    if (shown.range) {
      const Range* const other = options_.meter.find_range(shown.range->top * scale);
      if (!other) {
        shown.value /= scale;
        shown.resolution /= scale;
        return;
      }
      shown.range = *other;
      shown.text = display(options_.meter, *other, shown.value);
      return;
    }
    shown.text = display(options_.meter, range_for(options_.meter, shown.value), shown.value);
  }

  // A tip on nothing, a tip on another point, or a range misread: half of them the first, the others each as often.
  void slip(const Workbench::Place& place, const Observation& seen, Dice& dice, std::optional<Ohms>& ohms,
            double& scale) {
    if (dice.chance(0.5)) {
      ohms.reset();
    } else if (dice.chance(0.5)) {
      scale = dice.chance(0.5) ? 10 : 0.1;
    } else {
      const Circuit& circuit = wired_.sound(place);
      const std::vector<PointId> points = reachable(harness_, options_.stage, seen.access.depth);
      for (int tries = 0; tries < 20 && !points.empty(); ++tries) {
        const PointId other = points[dice.below(points.size())];
        if (!circuit.has(other) || other == seen.a || other == seen.b) continue;
        ohms = specimen_.ohms(place, seen.a, other);
        break;
      }
    }
  }

  // A whole capacitor has what was drawn, an open one nothing, and a short more than any range holds.
  void read_farads(Observation& seen, const Range& range, Dice& dice) {
    std::optional<double> farads = specimen_.farads(*seen.capacitor);
    if (specimen_.ohms(place_of(seen), seen.a, seen.b)) farads.reset();
    for (const Ailment& each : specimen_.ailments()) {
      const Fault& fault = wired_.faults()[each.fault];
      if (fault.element != seen.capacitor || each.comes_and_goes) continue;
      if (fault.mode == Mode::Open) farads = 0;
      if (fault.mode == Mode::Value && farads) *farads *= each.size;
    }
    meter_.show_farads(farads, range, dice, seen);
  }

  // How far a display would have to move to be seen moving, in ohms.
  static bool seen_moving(std::optional<Ohms> one, std::optional<Ohms> other, double least, double top) {
    // What is above the range shows as nothing else than that.
    const double x = std::min(one.value_or(HUGE_VAL), top);
    const double y = std::min(other.value_or(HUGE_VAL), top);
    return std::abs(x - y) >= least;
  }

  // Whether the display jumps as the knob is turned: at some place of it the reading hangs on a wiper that loses its
  // track there, is dirty, or finds its track broken.
  bool jumps(const Observation& seen, const Range& range, Dice& dice) {
    const double least = kSeenSweeping * options_.meter.step(range);
    for (const Ailment& each : specimen_.ailments()) {
      const Fault& fault = wired_.faults()[each.fault];
      if (fault.site != Site::Track && fault.site != Site::Wiper) continue;
      if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
      const Pot& pot = *harness_[*harness_[*fault.element].part].pot;
      if (pot.gang.value_or(*harness_[*fault.element].part) != *seen.swept) continue;
      // A wiper off its track catches it again somewhere, or never.
      const bool off = fault.site == Site::Wiper && fault.mode == Mode::Open;
      if (moves_with_wiper(seen, pot, is_worn_track(fault) || fault.mode == Mode::Open ? 0 : each.size, least,
                           range.top))
        return off ? dice.chance(0.5) : true;
    }
    return false;
  }

  // Whether a wiper that loses its track, or has so many ohms more, is seen at some place of its knob, all else sound.
  bool moves_with_wiper(const Observation& seen, const Pot& pot, double more, double least, double top) {
    const ElementId wiper = pot.wiper_element;
    const auto& faults = wired_.faults();
    const auto of_wiper = [&](Mode mode) {
      return std::find_if(faults.begin(), faults.end(),
                          [&](const Fault& fault) { return fault.mode == mode && fault.element == wiper; });
    };
    const auto wanted = of_wiper(more > 0 ? Mode::High : Mode::Open);
    if (wanted == faults.end()) return false;
    const Ailment lost{static_cast<std::size_t>(wanted - faults.begin()), more};
    for (const double knob : kPlaces) {
      Workbench::Place place = place_of(seen);
      place.setting.turn(*seen.swept, knob);
      const auto with = specimen_.ohms_with({lost}, place, seen.a, seen.b);
      if (seen_moving(specimen_.ohms_with({}, place, seen.a, seen.b), with, least, top)) return true;
    }
    return false;
  }

  // Whether the display moves as what is wiggled is pressed and moved: a joint among it is cold or open, and the reading
  // hangs on it.
  bool moves(const Observation& seen, const Range& range, Dice& dice) {
    const double least = kSeenWiggling * options_.meter.step(range);
    for (std::size_t i = 0; i < specimen_.ailments().size(); ++i) {
      const Ailment& each = specimen_.ailments()[i];
      const Fault& fault = wired_.faults()[each.fault];
      if (fault.mode != Mode::High && fault.mode != Mode::Open) continue;
      if (fault.site != Site::Joint && fault.site != Site::Blob && fault.site != Site::Contact) continue;
      const bool held = std::any_of(fault.points.begin(), fault.points.end(), [&](PointId point) {
        return std::find(seen.wiggled.begin(), seen.wiggled.end(), point) != seen.wiggled.end();
      });
      if (!held) continue;
      std::vector<Ailment> loose = specimen_.ailments();
      loose[i].comes_and_goes = false;
      std::vector<Ailment> firm = loose;
      firm[i].comes_and_goes = true;
      const Workbench::Place place = place_of(seen);
      if (!seen_moving(specimen_.ohms_with(loose, place, seen.a, seen.b),
                       specimen_.ohms_with(firm, place, seen.a, seen.b), least, range.top))
        continue;
      if (each.comes_and_goes || dice.chance(kBetrays)) return true;
    }
    return false;
  }

  const Harness& harness_;
  SimulationOptions options_;
  Dice dice_;
  Workbench wired_;
  Specimen specimen_;
  MeterInUse meter_;
};

Simulation::Simulation(const Harness& harness, const std::vector<Fault>& faults,
                       std::vector<Ailment> ailments, const SimulationOptions& options)
    : bench_(std::make_unique<Bench>(harness, faults, std::move(ailments), options)) {}
Simulation::~Simulation() = default;

void Simulation::take(Observation& seen, const Range& range, std::size_t again) {
  bench_->take(seen, range, again);
}

std::vector<Observation> take_plan(Simulation& simulation, const Harness& harness, const Plan& plan) {
  std::vector<Observation> observations;
  for (const Step& step : plan.steps) {
    if (!takes_reading(step)) continue;
    Observation seen = as_observation(harness, step);
    seen.range.reset();  // the meter in use says on which it was
    simulation.take(seen, step.range);
    observations.push_back(std::move(seen));
  }
  return observations;
}

double draw_size(const Harness& harness, const Fault& fault, Dice& dice) {
  if (is_worn_track(fault)) return 0;
  if (fault.mode == Mode::High) return dice.by_decades(kLeastHigh, kMostHigh);
  if (fault.mode != Mode::Value || !fault.element) return 0;
  const Band& ohms = harness[*fault.element].ohms;
  const double tolerance = std::max(ohms.nominal > 0 ? ohms.high / ohms.nominal - 1 : 0, 0.1);
  double factor = 1;
  while (std::abs(std::log(factor)) < tolerance) factor = dice.by_decades(1 / kMostFactor, kMostFactor);
  return factor;
}

}  // namespace lugwise
