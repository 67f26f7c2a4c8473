// One hearing of a circuit: what each coil sends to the plugs, what is loose and what hums. Private to this room.
#pragma once

#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "hearing/hearing.h"
#include "hearing/inside/outlet.h"

namespace lugwise::hearing::inside {

// Of a circuit with an ampere into each plug in turn: volts by point, and amperes through each branch, the most that any plug
// sends there.
struct PlugFlow {
  std::vector<std::vector<double>> volts;
  std::vector<double> amperes;
};

// Whether an element is a source: a pickup's coil or piezo.
bool is_source(const Harness& harness, const Element& element);

// Voices that a fault leaves as they were if all is sound; null: they have to be found.
struct KnownVoices {
  const Hearing* bass = nullptr;
  const Hearing* treble = nullptr;
};

// What a circuit is heard through, and how it was before a fault: `ground` is what is ground if all is sound, by point. Where modules
// join their points, what goes through them is heard too.
struct Rig {
  const Harness& harness;
  const std::vector<Outlet>& outlets;
  const std::vector<char>& ground;
  Modules modules;
};

// Of a circuit with that fault, or sound. `bass`, `treble`: where the flow is to be kept. Throws NetworkTooDense.
Hearing scan(const Rig& rig, const Circuit& circuit, const Fault* fault, const KnownVoices& known = {},
             PlugFlow* bass = nullptr, PlugFlow* treble = nullptr);

}  // namespace lugwise::hearing::inside
