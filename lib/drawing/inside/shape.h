// How each kind of part is drawn: its outline, the places wires can end, what lies inside it.
#pragma once

#include <vector>

#include "drawing/inside/hookup.h"
#include "drawing/layout.h"
#include "harness/harness.h"

namespace lugwise::drawing::inside {

// A part before it has a place: its upper left corner is at 0, 0.
struct Shape {
  PlacedPart part;
  std::vector<char>
      blocked;  // (width + 1) x (height + 1) vertices of the grid, row by row: no wire may run there

  bool blocks(int x, int y) const { return blocked[static_cast<std::size_t>(y * (part.width + 1) + x)] != 0; }
};

// The ways a part can be drawn, the plainest first: lugs left or right, upright or lying.
std::vector<Shape> shapes_of(const Harness& harness, const Hookup& hookup, PartId part);

PlacedPart moved(PlacedPart part, Cell by);

}  // namespace lugwise::drawing::inside
