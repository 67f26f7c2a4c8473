#include "exercise/inside/information.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>
#include <vector>

#include "effect/effect.h"
#include "expectation/corner.h"
#include "handling/watched.h"
#include "network/network.h"
#include "simulation/simulation.h"

namespace lugwise::exercise::inside {
namespace {

// Displays within this share and so many ohms of each other could be one fault's, with another pickup or pot of the same
// kind. A judgement.
constexpr double kAlike = 0.12;
constexpr Ohms kAlikeOhms = 0.6;

double entropy(double p) { return p <= 0 || p >= 1 ? 0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p); }

// What still may be wrong, each with its probability. Something is: the student knows as much.
std::vector<Suspect> standing(const Diagnosis& known) {
  std::vector<Suspect> all = known.suspects;
  if (all.empty()) {
    for (const Fault& fault : known.shown.open) {
      all.emplace_back();
      all.back().fault = fault;
      all.back().probability = fault.weight;
    }
  }
  double sum = 0;
  for (const Suspect& each : all) sum += each.probability;
  for (Suspect& each : all) each.probability /= sum > 0 ? sum : 1;
  return all;
}

// A size known less well than this is three, from its least to its most; a judgement, that of the diagnosis.
constexpr double kWideSize = 2;

// The sizes a fault may have, each with its share. Of a cold joint that no reading speaks of yet one a decade: what is drawn
// for an instrument is as likely in each.
struct Sizes {
  std::vector<std::pair<double, double>> each;

  Sizes(const Fault& fault, const std::optional<Size>& known) {
    if (known && (known->low <= 0 || known->high <= kWideSize * known->low)) {
      each = {{known->nominal, 1}};
    } else if (known) {
      each = {{known->low, 0.25}, {known->nominal, 0.5}, {known->high, 0.25}};
    } else if (fault.mode == Mode::High && !is_worn_track(fault)) {
      for (double ohms = kLeastHigh; ohms <= kMostHigh; ohms *= 10) each.emplace_back(ohms, 0);
      for (auto& [size, share] : each) share = 1 / static_cast<double>(each.size());
    } else {
      each = {{usual_size(fault), 1}};
    }
  }
};

bool is_loose(const Fault& fault) {
  return (fault.mode == Mode::High || fault.mode == Mode::Open) &&
         (fault.site == Site::Joint || fault.site == Site::Blob || fault.site == Site::Contact);
}

bool of_knob(const Harness& harness, const Fault& fault, PartId knob) {
  if (fault.site != Site::Track && fault.site != Site::Wiper) return false;
  if (fault.mode != Mode::High && fault.mode != Mode::Open) return false;
  const PartId pot = *harness[*fault.element].part;
  return harness[pot].pot->gang.value_or(pot) == knob;
}

// How likely it is that a sweep jumps, or that what is pressed shows itself, under this.
double chance_of_motion(const Harness& harness, const Suspect& suspect, const Observation& probe) {
  double chance = 0;
  for (const Fault* fault : {&suspect.fault, suspect.also ? &*suspect.also : nullptr}) {
    if (!fault) continue;
    if (probe.swept && of_knob(harness, *fault, *probe.swept)) chance = std::max(chance, 0.995);
    const bool held = std::any_of(fault->points.begin(), fault->points.end(), [&](PointId point) {
      return std::find(probe.wiggled.begin(), probe.wiggled.end(), point) != probe.wiggled.end();
    });
    if (held && is_loose(*fault)) chance = std::max(chance, kBetrays);
  }
  return chance;
}

// What may stand on the display: of one that stands, in one of its sizes.
struct Display {
  std::size_t standing = 0;
  double share = 0;               // of all
  double ohms = 0, at_other = 0;  // a sweep has two: at the stop it starts from, and at the other
  double motion = 0;              // how likely it jumps
};

// Displays that are alike have the same number afterwards.
std::vector<std::size_t> cells_of(const std::vector<Display>& displays, double Display::*reads, double top) {
  std::vector<std::size_t> order(displays.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t x, std::size_t y) { return displays[x].*reads < displays[y].*reads; });
  std::vector<std::size_t> cells(displays.size());
  std::size_t cell = 0;
  for (std::size_t i = 0; i < order.size(); ++cell) {
    const double from = displays[order[i]].*reads;
    while (i < order.size() && (displays[order[i]].*reads >= top) == (from >= top) &&
           displays[order[i]].*reads - from <= kAlike * from + kAlikeOhms)
      cells[order[i++]] = cell;
  }
  return cells;
}

// What the display is expected to tell of which of them it is: the entropy of what may stand there, less that which each alone
// leaves open, as a joint that is cold by ohms or by megohms does.
double told_by(const std::vector<Display>& displays, double top) {
  const std::vector<std::size_t> here = cells_of(displays, &Display::ohms, top);
  const std::vector<std::size_t> there = cells_of(displays, &Display::at_other, top);
  using Seen = std::tuple<std::size_t, std::size_t, bool>;
  std::map<Seen, double> all;
  std::map<std::size_t, std::map<Seen, double>> under;
  for (std::size_t i = 0; i < displays.size(); ++i) {
    for (const bool moved : {false, true}) {
      const double share = displays[i].share * (moved ? displays[i].motion : 1 - displays[i].motion);
      if (share <= 0) continue;
      all[{here[i], there[i], moved}] += share;
      under[displays[i].standing][{here[i], there[i], moved}] += share;
    }
  }
  double bits = 0;
  for (const auto& [seen, share] : all) bits -= share * std::log2(share);
  for (const auto& [standing, shares] : under) {
    double sum = 0;
    for (const auto& [seen, share] : shares) sum += share;
    for (const auto& [seen, share] : shares) bits += share * std::log2(share / sum);
  }
  return std::max(0.0, bits);
}

// Solves one circuit after another between two probes.
class Ohmmeter {
 public:
  Ohmmeter(const Observation& probe, const Setting& setting, const DiagnosisOptions& options,
           const Harness& harness, double top)
      : a_(probe.a.index),
        b_(probe.b.index),
        top_(top),
        sound_(circuit_at(probe, setting, options, harness)) {
    there_ = sound_.has(probe.a) && sound_.has(probe.b);
  }

  bool there() const { return there_; }

  double read(const Suspect& suspect, double size) const {
    const Circuit circuit = with_fault(sound_, suspect.fault, size);
    if (!suspect.also) return read(circuit);
    const double also = suspect.also_size ? suspect.also_size->nominal : usual_size(*suspect.also);
    return read(with_fault(circuit, *suspect.also, also));
  }

 private:
  static Circuit circuit_at(const Observation& probe, const Setting& setting, const DiagnosisOptions& options,
                            const Harness& harness) {
    Observation at = probe;
    at.action = Action::Read;
    at.setting = setting;
    return circuit_of(harness, state_of(at, options.stage, options.temperature));
  }

  double read(const Circuit& circuit) const {
    const auto ohms =
        network_at(circuit, loose_resistors_at(circuit, Corner::Nominal), Modules::Joined).resistance(a_, b_);
    return std::min(ohms.value_or(HUGE_VAL), top_);
  }

  std::uint32_t a_, b_;
  double top_;
  Circuit sound_;
  bool there_ = false;
};

}  // namespace

double expected_bits(const Harness& harness, const DiagnosisOptions& options, const Diagnosis& known,
                     const Observation& probe) {
  const std::vector<Suspect> all = standing(known);
  if (probe.capacitor) {
    double of_it = 0;
    for (const Suspect& each : all) {
      if (each.fault.element == probe.capacitor) of_it += each.probability;
    }
    return entropy(of_it);
  }
  const double top =
      options.meter.automatic || !probe.range ? options.meter.ranges.back().top : probe.range->top;
  const Ohmmeter here(probe, probe.setting, options, harness, top);
  if (!here.there()) return 0;
  std::optional<Ohmmeter> there;
  if (probe.swept) there.emplace(probe, other_end(probe.setting, *probe.swept), options, harness, top);
  std::vector<Display> displays;
  for (std::size_t s = 0; s < all.size(); ++s) {
    const Suspect& suspect = all[s];
    const double motion = chance_of_motion(harness, suspect, probe);
    const Sizes sizes(suspect.fault, suspect.size);
    for (const auto& [size, share] : sizes.each) {
      Display display{s, suspect.probability * share, 0, 0, motion};
      // Of what is pressed nothing is read but whether it stays.
      if (probe.action != Action::Wiggle) display.ohms = here.read(suspect, size);
      if (there) display.at_other = there->read(suspect, size);
      displays.push_back(display);
    }
  }
  return told_by(displays, top);
}

}  // namespace lugwise::exercise::inside
