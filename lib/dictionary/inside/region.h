// A few places and the resistors between them, solved for all pairs at three corners at once. Private to this room.
//
// The same star-mesh elimination as lib/network, nothing subtracted that matters, but written for the few places that a
// fault touches: one dense table, the three corners side by side.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "circuit/circuit.h"

namespace lugwise::dictionary::inside {

// Low, nominal and high.
using Corners = std::array<double, 3>;

// Between two places: siemens, nothing where a corner has no resistor there.
struct Link {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  Corners siemens{};
};

// Ohms between all places, row by row; kOpen where there is no way.
std::vector<Corners> solve_region(std::uint32_t places, const std::vector<Link>& links);

}  // namespace lugwise::dictionary::inside
