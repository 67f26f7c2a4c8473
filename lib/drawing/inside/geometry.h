// Where spots, cells and boxes lie to each other. Units of the picture, but where cells are said.
#pragma once

#include <vector>

#include "drawing/layout.h"

namespace lugwise::drawing::inside {

inline constexpr double kPi = 3.14159265358979;

Spot at_cell(Cell cell);

// One cell that way.
Cell toward(Side side);

// So many cells from a foot, the way it looks.
Spot outward(const Foot& foot, double cells);

// What holds all these, and `by` around them.
Box around(const std::vector<Spot>& spots, double by);

Box united(const Box& a, const Box& b);

// Square units that two have in common.
double shared_area(const Box& a, const Box& b);

// Half way along a run.
Spot half_way(const std::vector<Spot>& path);

}  // namespace lugwise::drawing::inside
