// What is done before the first reading: battery, the meter's leads, the test cable. Private to this room.
#pragma once

#include <vector>

#include "plan/plan.h"

namespace lugwise::plan::inside {

// The steps, numbered from 1. They take no seconds of the plan's.
std::vector<Step> preparations_for(const Harness& harness, const PlanOptions& options);

}  // namespace lugwise::plan::inside
