#include "study/inside/visibility.h"

#include <algorithm>
#include <cmath>

#include "simulation/simulation.h"
#include "study/inside/reach.h"

namespace lugwise::study::inside {

Visibility::Visibility(const Harness& harness, const std::vector<Fault>& faults, const Plan& plan,
                       const std::vector<const Step*>& steps, const Meter& meter,
                       std::optional<std::size_t> stage)
    : harness_(harness),
      faults_(faults),
      plan_(plan),
      steps_(steps),
      meter_(meter),
      stage_(stage),
      thresholds_(faults.size()) {}

// Whether some reading of the plan cannot be a sound one's with this fault, whatever the tolerances; or, beside another
// fault, not that other's alone.
bool Visibility::shows(const Fault& fault, double size, const Ailment* beside) const {
  return std::any_of(steps_.begin(), steps_.end(), [&](const Step* step) {
    if (step->kind != StepKind::Read || !step->expected.known) return false;
    const State state{step->setting, stage_, step->access.depth > 0, {}, Temperature{}};
    Circuit without = circuit_of(harness_, state);
    if (beside) without = with_fault(without, faults_[beside->fault], beside->size);
    const Reach usual = beside ? reach_of(harness_, meter_, *step, without) : reach_if_sound(*step);
    return apart(meter_, *step, usual, reach_of(harness_, meter_, *step, with_fault(without, fault, size)));
  });
}

bool Visibility::proved(const Fault& fault) const {
  for (const Step* step : steps_) {
    for (std::size_t f : step->proves) {
      if (plan_.faults[f] == fault) return true;
    }
  }
  return false;
}

// A reading moves one way with a size, so the least that shows is found by halving.
const Visibility::Threshold& Visibility::threshold(std::size_t f) {
  std::optional<Threshold>& known = thresholds_[f];
  if (known) return *known;
  known.emplace();
  const Fault& fault = faults_[f];
  const auto halve = [&](double hidden, double shown) {
    if (!shows(fault, shown)) return hidden < shown ? HUGE_VAL : 0.0;
    for (int step = 0; step < 12; ++step) {
      const double middle = std::sqrt(hidden * shown);
      (shows(fault, middle) ? shown : hidden) = middle;
    }
    return shown;
  };
  if (is_worn_track(fault)) {
    known->over = proved(fault) ? 0 : HUGE_VAL;
  } else if (fault.mode == Mode::High) {
    known->over = halve(kLeastHigh / 10, kMostHigh);
  } else if (fault.mode == Mode::Value && fault.site != Site::Capacitor) {
    known->over = halve(1, kMostFactor);
    known->under = halve(1, 1 / kMostFactor);
  } else {
    known->over = shows(fault, 0) ? 0 : HUGE_VAL;
  }
  return *known;
}

bool Visibility::visible(const Ailment& ailment) {
  const Threshold& from = threshold(ailment.fault);
  if (faults_[ailment.fault].mode == Mode::Value)
    return ailment.size >= from.over || ailment.size <= from.under;
  return ailment.size >= from.over;
}

bool Visibility::visible(const Ailment& ailment, const Ailment& beside) const {
  const Fault& fault = faults_[ailment.fault];
  return is_worn_track(fault) ? proved(fault) : shows(fault, ailment.size, &beside);
}

}  // namespace lugwise::study::inside
