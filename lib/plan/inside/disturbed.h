// What may the iron, or the wires that were moved, have disturbed in a repair? Private to this room.
#pragma once

#include <vector>

#include "fault/fault.h"

namespace lugwise::plan::inside {

// Whether a fault may come from a repair at these points. Disturbed are the blobs there and, on a case or other metal, all
// blobs of that surface; the leads in them with their far ends; what the parts there consist of; and their lugs, which may
// touch a neighbour.
std::vector<char> disturbed(const Harness& harness, const std::vector<Fault>& faults,
                            const std::vector<PointId>& repaired);

}  // namespace lugwise::plan::inside
