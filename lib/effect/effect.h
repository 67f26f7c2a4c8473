// What would each fault do: which reading tells it best, and what does the player hear?
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "dictionary/dictionary.h"
#include "fault/fault.h"
#include "fault/kind.h"
#include "handling/handling.h"
#include "handling/reached.h"
#include "harness/harness.h"
#include "hearing/listener.h"
#include "meter/meter.h"

namespace lugwise {

// How large a fault is taken to be where it has a size: a cold joint or dirty contact in ohms, a wrong value as a factor.
inline constexpr Ohms kUsualHigh = 100;
inline constexpr double kUsualFactor = 0.5;
double usual_size(const Fault& fault);

// A reading that a fault moves out of what it may be if all is sound.
struct Telling {
  PointId a, b;
  Setting setting;
  Access access;
  Found sound;
  Found faulty;
};

struct Effect {
  Fault fault;
  double share = 0;                // of the weight of all faults at this stage
  std::optional<Telling> telling;  // none: no reading within reach tells it
  std::vector<Complaint> heard;    // empty: no change to be heard
  bool heard_known = true;         // false: its signal goes through a module, which we don't model
};

struct EffectOptions {
  std::optional<std::size_t> stage;
  std::optional<Setting> setting;  // readings and ears in this one alone; none: in any
  Temperature temperature;
  Meter meter = assumed_meter();  // a reading tells only what this display shows otherwise than any sound one
  std::vector<KindWeight> common;  // kinds of fault that are not as common as usual
};

// Of each of `faults`, in their order; of all at the stage, share by share, which the caller may narrow down. Readings from
// outside come before those that need it opened, those where what is open conducts or what conducts is open before others,
// the controls as they rest before others. It takes each fault by itself at its usual size.
//
// Throws NetworkTooDense. A harness that too_large_to_search() refuses takes hours or all memory.
std::vector<Effect> effects_of(const Harness& harness, const std::vector<Fault>& faults,
                               const EffectOptions& options, const Reached& reached = {});

}  // namespace lugwise
