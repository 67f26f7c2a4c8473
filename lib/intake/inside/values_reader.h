// The values that a file beside a netlist has chosen for it. Private to this room.
#pragma once

#include <vector>

#include "intake/inside/tree.h"
#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// `values: {track: 250k}`; what is wrong with an entry is in the diagnostics, and it is left out.
std::vector<ChosenValue> read_values(const Node& node, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
