// One netlist laid over another that it starts from.
#pragma once

#include "intake/inside/tree.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// `base` with what `over` takes off, changes and adds: parts key by key, joints, wires and touches behind its own.
Node laid_over(Node base, Node over, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
