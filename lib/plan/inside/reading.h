// What a step reads: what the probes should find, on which range, and what that shows. Private to this room.
#pragma once

#include "plan/plan.h"

namespace lugwise::plan::inside {

// The circuit a step's probes are in.
Circuit circuit_at(const Harness& harness, const PlanOptions& options, const Step& step);

// Fills in what a step's probes should find in that circuit, the range for it and what that shows; what is open is looked for on
// the highest range. Throws NetworkTooDense.
void expect_reading(const Harness& harness, const Meter& meter, const Circuit& circuit, Step& step);

}  // namespace lugwise::plan::inside
