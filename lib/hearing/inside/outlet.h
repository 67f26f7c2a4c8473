// Where the amplifiers are, and what is ground to them. Private to this room.
#pragma once

#include <vector>

#include "circuit/circuit.h"
#include "harness/harness.h"

namespace lugwise::hearing::inside {

// An amplifier: each signal contact of each plug, against that plug's sleeve.
struct Outlet {
  PointId tip, sleeve;
};

std::vector<Outlet> outlets_of(const Harness& harness, const Circuit& circuit);

// By point, whether it is ground: a few ohms from a plug's sleeve.
std::vector<char> ground_of(const Circuit& circuit, const std::vector<Outlet>& outlets);

// Whether the points of modules and batteries hang together through little in one circuit and not in the other.
bool parts_supply(const Harness& harness, const Circuit& sound, const Circuit& faulty);

// The usual ohms of a branch.
inline Ohms nominal_ohms(const Branch& branch) { return branch.ohms.nominal * branch.at_nominal; }

}  // namespace lugwise::hearing::inside
