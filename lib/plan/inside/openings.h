// How far does a plan open the instrument? Private to this room.
#pragma once

#include <vector>

#include "plan/plan.h"

namespace lugwise::plan::inside {

// The openings a plan may use, in order. After a repair the instrument is as far open as the repair needed.
std::vector<Access> openings(const Harness& harness, const PlanOptions& options);

}  // namespace lugwise::plan::inside
