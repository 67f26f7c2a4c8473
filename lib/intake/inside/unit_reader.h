// Whose readings these are: the `unit` of a readings file.
#pragma once

#include "intake/inside/tree.h"
#include "sheet/unit.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

Unit read_unit(const Node& node, Span at, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
