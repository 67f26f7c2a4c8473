// The circuit as a network of resistors at one corner of what is uncertain.
#pragma once

#include <vector>

#include "circuit/circuit.h"
#include "network/network.h"

namespace lugwise {

enum class Corner { Low, Nominal, High };

// One resistor a branch, in the same order, each at its least, usual or most ohms. `travel` gives t for each of the circuit's travels; without it the wiper
// stands where its taper puts it.
std::vector<Resistor> resistors_at(const Circuit& circuit, Corner corner,
                                   const std::vector<double>* travel = nullptr);

// The resistance of one branch there.
Ohms ohms_at(const Branch& branch, Corner corner, const std::vector<double>* travel = nullptr);

// Each half of a divided track at its own least or most: limits that are sound for any place of any wiper, though not
// always attained. For the nominal corner the same as resistors_at.
std::vector<Resistor> loose_resistors_at(const Circuit& circuit, Corner corner);

// The network of resistors that resistors_at() or loose_resistors_at() gave of that circuit.
Network network_at(const Circuit& circuit, std::vector<Resistor> resistors, Modules modules = Modules::Apart);

// The network of these resistors, whose blocks are not found again where it has those of another: resistors between the
// same points, none of them without ohms but where those are.
Network network_like(const Network& known, std::vector<Resistor> resistors);

}  // namespace lugwise
