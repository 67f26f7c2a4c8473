// What moving a joint or a knob shows. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"

namespace lugwise::diagnosis::inside {

// The pots on the knob's shaft whose wiper the current passes somewhere between the stops. None but in a sweep.
std::vector<PartId> pots_swept(const Harness& harness, const Observation& observation,
                               const DiagnosisOptions& options);

// How a reading is taken while something moves.
struct Movement {
  Action action = Action::Read;
  Ohms step = 0;                                  // what the display rounds to
  const std::vector<PartId>* turned = nullptr;    // Sweep: pots_swept() of it
  const std::vector<PointId>* wiggled = nullptr;  // Wiggle: what is pressed and moved
};

// How often such a reading is unsteady, or a sweep jumps, under one fault of a size, or none: a judgement. `touched`:
// the reading depends on the fault at all.
double chance_of_unsteady(const Harness& harness, const Movement& movement, const Fault* fault, double size,
                          bool touched);

}  // namespace lugwise::diagnosis::inside
