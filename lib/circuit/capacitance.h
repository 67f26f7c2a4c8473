// Which capacitor would a capacitance range measure between two points?
//
// That range reads a capacitor's value only where nothing else lies between its ends: a path of resistances, a module and
// another capacitor would each be measured with it.
#pragma once

#include <optional>

#include "circuit/circuit.h"
#include "component/farads.h"

namespace lugwise {

// The capacitor whose two ends these are.
std::optional<ElementId> capacitor_between(const Harness& harness, PointId a, PointId b);

// Whether nothing else lies between a capacitor's ends: it is loose, or one of its leads is lifted.
bool measured_alone(const Harness& harness, const Circuit& circuit, ElementId capacitor);

// What a sound one has.
Capacitance farads_of(const Harness& harness, ElementId capacitor);

}  // namespace lugwise
