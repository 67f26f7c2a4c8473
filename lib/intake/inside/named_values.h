// The values that a netlist names once and uses as `$name`.
#pragma once

#include <vector>

#include "intake/inside/tree.h"
#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// Puts the file's named values, or those given instead, where `$name` stands, and takes `values` out of the tree. A name that
// there is none of is an error; one that stands nowhere is warned of.
void put_in_values(Node& root, const std::vector<ChosenValue>& chosen, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
