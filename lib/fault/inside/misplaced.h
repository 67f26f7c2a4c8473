// Leads on the wrong lug: which mistakes of wiring a harness invites. Private to this room.
#pragma once

#include <vector>

#include "fault/fault.h"

namespace lugwise::fault::inside {

// One lead on the next lug of its part or on the case, the leads or all that is on two neighbouring lugs exchanged, a pot
// mirrored, a switch turned around, a pickup's leads or two pickups exchanged. `present` says by point what is there. Only
// mistakes that join or part something: a lead moved along its own ground is none.
std::vector<Fault> misplaced_among(const Harness& harness, const std::vector<char>& present);

}  // namespace lugwise::fault::inside
