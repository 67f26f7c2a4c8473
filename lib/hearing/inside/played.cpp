#include "hearing/inside/played.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace lugwise::hearing::inside {
namespace {

// What sends less than this of an ampere at the plug through itself does not matter to the signal.
constexpr double kQuiet = 1e-7;

}  // namespace

Played::Played(const Harness& harness, Circuit circuit, Modules modules)
    : harness_(harness),
      circuit_(std::move(circuit)),
      modules_(modules),
      outlets_(outlets_of(harness, circuit_)) {
  if (!plugged()) return;
  ground_ = ground_of(circuit_, outlets_);
  sound_ = scan(rig(), circuit_, nullptr, {}, &bass_, &treble_);
}

// An element that does not conduct here can't break, and no track is worn where its knob rests.
bool Played::changes_nothing(const Fault& fault) const {
  if (!acts_in(fault, circuit_) || is_worn_track(fault)) return true;
  if (fault.mode == Mode::Short || fault.mode == Mode::Misplaced) return false;
  const Element& element = harness_[*fault.element];
  if (element.kind == ElementKind::Capacitor) return fault.mode != Mode::Open;
  return std::none_of(circuit_.branches.begin(), circuit_.branches.end(),
                      [&](const Branch& branch) { return branch.element == fault.element; });
}

// Whether the signal is what it was. What carries nothing can be taken off or changed without the currents elsewhere
// changing (the compensation theorem), and points at one potential can be joined.
bool Played::is_quiet(const Fault& fault, const PlugFlow& flow, Pitch pitch) const {
  if (flow.volts.size() != outlets_.size() || fault.mode == Mode::Misplaced) return false;
  if (fault.mode == Mode::Short) {
    if (!circuit_.has(fault.a) || !circuit_.has(fault.b)) return true;
    return std::all_of(flow.volts.begin(), flow.volts.end(), [&](const std::vector<double>& volts) {
      return std::abs(volts[fault.a.index] - volts[fault.b.index]) < kQuiet * kShort.nominal;
    });
  }
  const Element& element = harness_[*fault.element];
  if (element.kind == ElementKind::Capacitor) return pitch == Pitch::Bass && !is_source(harness_, element);
  for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
    if (circuit_.branches[b].element == fault.element && flow.amperes[b] > kQuiet) return false;
  }
  return true;
}

Hearing Played::with(const Fault& fault, double size) const {
  if (changes_nothing(fault)) return sound_;
  const Circuit faulty = with_fault(circuit_, fault, size);
  KnownVoices known;
  if (is_quiet(fault, bass_, Pitch::Bass)) known.bass = &sound_;
  if (is_quiet(fault, treble_, Pitch::Treble)) known.treble = &sound_;
  Hearing hearing = scan(rig(), faulty, &fault, known);
  if (fault.mode == Mode::Value && fault.site == Site::Coil) {
    for (Voice& voice : hearing.voices) {
      if (voice.coil != fault.element) continue;
      voice.bass *= size;
      voice.treble *= size;
    }
  }
  return hearing;
}

}  // namespace lugwise::hearing::inside
