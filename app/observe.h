// What a readings file says was done and seen, with all that its steps leave to the plan filled in.
#pragma once

#include <optional>
#include <vector>

#include "command.h"
#include "diagnosis/diagnosis.h"
#include "diagnosis/sheet.h"
#include "intake/netlist.h"
#include "load.h"
#include "meter/meter.h"
#include "plan/plan.h"

namespace lugwise::app {

// Warns where the readings name another harness than the command line.
void compare_harness_files(Run& run, const Sheet& sheet);

// The plan whose steps the readings name; none where they name no step. Throws BadInput where the netlist no longer gives
// that plan.
std::optional<Plan> plan_of(const Run& run, const Netlist& netlist, const Sheet& sheet, const Conditions& now,
                            std::optional<std::size_t> stage);

// What the meter showed with the tips together is its leads, within one of its last digit.
void take_leads(const Sheet& sheet, const Plan* plan, Meter& meter);

// One observation for each entry that is a reading, or one that could not be taken; nothing for the others and for the
// tips together. Throws BadInput, all problems at once.
std::vector<std::optional<Observation>> observe(const Run& run, const Harness& harness, const Meter& meter,
                                                const Plan* plan, const std::vector<Entry>& entries,
                                                std::optional<std::size_t> stage);

}  // namespace lugwise::app
