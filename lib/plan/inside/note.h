// What to mind at a step. Private to this room.
#pragma once

#include "plan/plan.h"

namespace lugwise::plan::inside {

// Adds to the steps' notes: that a coil has to settle, that fingers would be read too, and what the digits of the range
// are too coarse for.
void add_notes(const Harness& harness, Plan& plan);

}  // namespace lugwise::plan::inside
