// Which pairs of probes see a knob's wiper move, and what stands on the display meanwhile? Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

// Adds to a survey the sweeps that can be made with that much open: of each knob, in each setting from which it can be
// turned from stop to stop without leaving the survey's settings, for each pair of probes that sees its wiper move.
void add_sweeps(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                Survey& survey);

// Between sweeps that do the same: plug points and the pot's own lugs are liked better.
int liking_of_sweep(const Harness& harness, const Candidate& sweep);

// A sweep as a step, with its limits; none where a module leaves them unknown. `shown` are the worn tracks it shows.
std::optional<Step> sweep_step(const Harness& harness, const PlanOptions& options,
                               const std::vector<Fault>& faults, const Access& access, const Setting& from,
                               PartId knob, PointId a, PointId b, const std::vector<std::size_t>& shown,
                               const std::vector<PointId>& lifted = {});

}  // namespace lugwise::plan::inside
