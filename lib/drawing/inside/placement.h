// Which part stands where: as it lies in the instrument seen from behind, neck to the left.
//
// Pickups stand on top in their order from the neck to the bridge, the bridge and the strings at their right; controls below
// them, the jack at the right side; plates, batteries and modules at the bottom, and there also a switch that follows the
// pots, as where each pickup has a volume of its own. All that follows from the parts alone, and from what a capacitor or
// resistor is soldered to: a wire more or less, or another value, moves nothing.
#pragma once

#include <vector>

#include "drawing/drawing.h"
#include "drawing/inside/shape.h"

namespace lugwise::drawing::inside {

struct Placement {
  std::vector<std::size_t> variant;  // by part: which of its shapes
  std::vector<Cell> corner;          // by part
  int width = 0, height = 0;         // with a margin for wires all around
};

// `room` makes the gaps wider, by that many cells.
Placement place_parts(const Harness& harness, const std::vector<std::vector<Shape>>& shapes,
                      const Places& places, int room);

}  // namespace lugwise::drawing::inside
