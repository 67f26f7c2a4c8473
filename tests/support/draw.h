// One real harness out of all that a netlist allows: every part somewhere inside its limits.
#pragma once

#include <random>
#include <vector>

#include "circuit/circuit.h"
#include "network/network.h"

namespace lugwise::test {

// A resistor a branch, drawn evenly between its least and most; both halves of a track, all tracks on one shaft and
// every branch of one element share their draw.
std::vector<Resistor> draw(const Circuit& circuit, std::mt19937& random);

}  // namespace lugwise::test
