// What a netlist takes off the one that it starts from.
#pragma once

#include <vector>

#include "intake/inside/tree.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// Takes parts, points with all that is soldered there, and wires off `base`, a netlist's tree. A name that it hasn't is reported.
void take_off(Node& base, const std::vector<const Node*>& names, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
