// How small an added resistance at each joint and contact a plan's steps would notice. Private to this room.
#pragma once

#include <vector>

#include "plan/plan.h"

namespace lugwise::plan::inside {

// For every joint, blob and contact that some step reads through, in the order of the netlist.
std::vector<Smallest> smallest_noticed(const Harness& harness, const PlanOptions& options,
                                       const std::vector<Step>& steps);

}  // namespace lugwise::plan::inside
