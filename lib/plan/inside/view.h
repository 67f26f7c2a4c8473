// One setting at one depth of opening: what would each pair of probes show there? Private to this room.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

// What is looked at: `sizes` as survey() has them, `lifted` the leads that are off.
struct Sight {
  const Harness& harness;
  const std::vector<Fault>& faults;
  const std::vector<Ohms>& sizes;
  const PlanOptions& options;
  const Setting& setting;
  const Access& access;
  const std::vector<PointId>& lifted;
};

// Adds a candidate for each pair that shows a fault; `setting` is its number there. Throws NetworkTooDense.
void add_candidates(const Sight& sight, std::uint32_t setting, Survey& survey);

// Lowers `least` as find_least_sizes() says; it may be the sight's own sizes. Throws NetworkTooDense.
void lower_sizes(const Sight& sight, std::vector<Ohms>& least);

}  // namespace lugwise::plan::inside
