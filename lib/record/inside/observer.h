// From an entry of a readings file to what was done and seen, with all that its step leaves to the plan filled in.
#pragma once

#include <optional>
#include <vector>

#include "harness/harness.h"
#include "meter/meter.h"
#include "plan/plan.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise::record::inside {

// What the meter showed with the tips together is its leads, within one of its last digit. `plan` may be null.
void take_leads(const Sheet& sheet, const Plan* plan, Meter& meter);

// One observation for each entry that is a reading, or one that could not be taken; nothing for the others and for the
// tips together. `plan` may be null where no entry names a step. All problems go to the diagnostics.
std::vector<std::optional<Observation>> observe(const Harness& harness, const Meter& meter, const Plan* plan,
                                                const std::vector<Entry>& entries,
                                                std::optional<std::size_t> stage, Diagnostics& diagnostics);

}  // namespace lugwise::record::inside
