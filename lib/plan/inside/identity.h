// The short name under which a plan is written down with its readings. Private to this room.
#pragma once

#include <string>

#include "plan/plan.h"

namespace lugwise::plan::inside {

// Of what the plan is made from, `harness_id`, and of what it asks: the same steps, the same id.
std::string identity_of(const Harness& harness, const std::string& harness_id, const Plan& plan);

}  // namespace lugwise::plan::inside
