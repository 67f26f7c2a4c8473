// What to heed before the first probe. Private to this room.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"

namespace lugwise::plan::inside {

// Those that apply: a part alone on the bench needs none, a harness there has no strings.
std::vector<std::string> cautions_for(const Harness& harness, const PlanOptions& options);

// Whether a battery has to come out first.
bool has_battery(const Harness& harness);

}  // namespace lugwise::plan::inside
