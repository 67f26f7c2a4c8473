// The `defaults` of a netlist: what sound joints, wires and contacts may show, and the parts' tolerances.
#pragma once

#include "harness/builder.h"
#include "intake/inside/tree.h"

namespace lugwise::intake::inside {

// Those of the builder where nothing is given.
Defaults read_defaults(const Node* node, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
