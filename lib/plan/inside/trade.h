// What a plan takes and shows, to be set beside plans of other aims. Private to this room.
#pragma once

#include "plan/plan.h"

namespace lugwise::plan::inside {

Trade trade_of(const Harness& harness, const Plan& plan);

}  // namespace lugwise::plan::inside
