// The plan whose steps a readings file names.
#pragma once

#include <optional>

#include "intake/netlist.h"
#include "plan/plan.h"
#include "record/conditions.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise::record::inside {

// None where no step is named, and where the netlist no longer gives that plan, which the diagnostics then say.
std::optional<Plan> plan_named(const Netlist& netlist, const Sheet& sheet, const Conditions& now,
                               std::optional<std::size_t> stage, Diagnostics& diagnostics);

}  // namespace lugwise::record::inside
