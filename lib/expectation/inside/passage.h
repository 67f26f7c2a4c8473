// What lies on the way between two probes. Private to this room.
#pragma once

#include <cstdint>
#include <vector>

#include "circuit/circuit.h"
#include "network/network.h"

namespace lugwise::expectation::inside {

// The branches of every block of the network that the current passes, with their points and travels numbered anew. The rest of
// the circuit hangs off it, whatever its values.
struct Way {
  Circuit circuit;
  std::vector<std::uint32_t> travels;  // which of the whole circuit's each of its travels is
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  Ohms ceiling = 0;  // each half of a track at its own most: no reading is higher
};

// The circuit at its highest, where a branch has no ohms only if it never has any.
Network highest(const Circuit& circuit, Modules modules);

// `network` is the circuit at its highest; the points are connected there. Throws NetworkTooDense.
Way way_between(const Circuit& circuit, const Network& network, PointId a, PointId b, Modules modules);

}  // namespace lugwise::expectation::inside
