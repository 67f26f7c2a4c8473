// What `simulate` answers in JSON: the readings, and nothing of what is wrong.
#pragma once

#include <string>
#include <vector>

#include "harness/harness.h"
#include "report/heading.h"
#include "sheet/observation.h"

namespace lugwise {

std::string readings_as_json(const Heading& heading, const Harness& harness,
                             const std::vector<Observation>& readings);

}  // namespace lugwise
