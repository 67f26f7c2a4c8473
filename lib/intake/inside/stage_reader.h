// The `stages` of a netlist: which parts are not there yet.
#pragma once

#include "harness/builder.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"

namespace lugwise::intake::inside {

void read_stages(const Node* node, HarnessBuilder& builder, PointReader& points, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
