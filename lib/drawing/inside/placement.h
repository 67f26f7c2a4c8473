// Which part stands where: rows of parts, searched so that wires are short and cross little. Deterministic.
#pragma once

#include <cstdint>
#include <vector>

#include "drawing/drawing.h"
#include "drawing/inside/hookup.h"
#include "drawing/inside/shape.h"

namespace lugwise::inside {

struct Placement {
  std::vector<std::size_t> variant;  // by part: which of its shapes
  std::vector<Cell> corner;          // by part
  int width = 0, height = 0;         // with a margin for wires all around
};

// `seed` gives another search of the same kind; `room` makes the gaps wider, by that many cells.
Placement place_parts(const Harness& harness, const Hookup& hookup,
                      const std::vector<std::vector<Shape>>& shapes, const Places& places, std::uint32_t seed,
                      int room);

}  // namespace lugwise::inside
