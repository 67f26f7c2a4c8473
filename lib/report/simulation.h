// What `simulate` answers in JSON: the readings, and nothing of what is wrong.
#pragma once

#include <string>
#include <vector>

#include "harness/harness.h"
#include "report/heading.h"
#include "sheet/observation.h"

namespace lugwise {

// Each reading that the simulated meter showed: what is done, how the controls stand, which cover is off, between which points, what
// stands on the display and on which range. `readings` are of this harness, as take_plan() takes them (simulation/simulation.h), or a single one; which
// instrument they were taken from stays unsaid.
std::string readings_as_json(const Heading& heading, const Harness& harness,
                             const std::vector<Observation>& readings);

}  // namespace lugwise
