#include "exercise/inside/information.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "effect/effect.h"
#include "expectation/corner.h"
#include "handling/watched.h"
#include "network/network.h"

namespace lugwise::exercise::inside {
namespace {

// Displays within this share and so many ohms of each other could be one fault's, with another pickup or pot of the same
// kind. A judgement.
constexpr double kAlike = 0.12;
constexpr Ohms kAlikeOhms = 0.6;

double entropy(double p) { return p <= 0 || p >= 1 ? 0 : -p * std::log2(p) - (1 - p) * std::log2(1 - p); }

// What still may be wrong, and how likely each is.
struct Standing {
  const Suspect* suspect = nullptr;  // none: nothing
  double probability = 0;
};

std::vector<Standing> standing(const Diagnosis& known) {
  std::vector<Standing> all;
  if (known.sound > 0) all.push_back({nullptr, known.sound});
  for (const Suspect& each : known.suspects) all.push_back({&each, each.probability});
  double sum = 0;
  for (const Standing& each : all) sum += each.probability;
  for (Standing& each : all) each.probability /= sum > 0 ? sum : 1;
  return all;
}

double size_of(const Fault& fault, const std::optional<Size>& size) {
  return size ? size->nominal : usual_size(fault);
}

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

// Of what is watched rather than read: it moves, or it doesn't.
double watched_bits(const Harness& harness, const std::vector<Standing>& all, const Observation& probe) {
  double moves = 0;
  double noise = 0;
  for (const Standing& each : all) {
    if (!each.suspect) continue;
    double chance = 0;
    for (const Fault* fault : {&each.suspect->fault, each.suspect->also ? &*each.suspect->also : nullptr}) {
      if (!fault) continue;
      if (probe.swept && of_knob(harness, *fault, *probe.swept)) chance = std::max(chance, 0.995);
      const bool held = std::any_of(fault->points.begin(), fault->points.end(), [&](PointId point) {
        return std::find(probe.wiggled.begin(), probe.wiggled.end(), point) != probe.wiggled.end();
      });
      if (held && is_loose(*fault)) chance = std::max(chance, kBetrays);
    }
    moves += each.probability * chance;
    noise += each.probability * entropy(chance);
  }
  return std::max(0.0, entropy(moves) - noise);
}

}  // namespace

double expected_bits(const Harness& harness, const DiagnosisOptions& options, const Diagnosis& known,
                     const Observation& probe) {
  const std::vector<Standing> all = standing(known);
  if (probe.action != Action::Read) return watched_bits(harness, all, probe);
  if (probe.capacitor) {
    double of_it = 0;
    for (const Standing& each : all) {
      if (each.suspect && each.suspect->fault.element == probe.capacitor) of_it += each.probability;
    }
    return entropy(of_it);
  }
  const Circuit sound = circuit_of(harness, state_of(probe, options.stage, options.temperature));
  if (!sound.has(probe.a) || !sound.has(probe.b)) return 0;
  const double top =
      options.meter.automatic || !probe.range ? options.meter.ranges.back().top : probe.range->top;
  std::vector<std::pair<double, double>> reads;  // ohms, probability
  for (const Standing& each : all) {
    Circuit circuit = sound;
    if (each.suspect) {
      circuit = with_fault(circuit, each.suspect->fault, size_of(each.suspect->fault, each.suspect->size));
      if (each.suspect->also)
        circuit =
            with_fault(circuit, *each.suspect->also, size_of(*each.suspect->also, each.suspect->also_size));
    }
    const auto ohms = network_at(circuit, loose_resistors_at(circuit, Corner::Nominal), Modules::Joined)
                          .resistance(probe.a.index, probe.b.index);
    reads.emplace_back(std::min(ohms.value_or(HUGE_VAL), top), each.probability);
  }
  std::sort(reads.begin(), reads.end());
  double bits = 0;
  for (std::size_t i = 0; i < reads.size();) {
    const double from = reads[i].first;
    double share = 0;
    while (i < reads.size() && (reads[i].first >= top) == (from >= top) &&
           reads[i].first - from <= kAlike * from + kAlikeOhms)
      share += reads[i++].second;
    if (share > 0) bits -= share * std::log2(share);
  }
  return std::max(0.0, bits);
}

}  // namespace lugwise::exercise::inside
