// Steps that are watched, not read: knobs swept from end to end, joints pressed and moved. Private to this room.
#pragma once

#include <vector>

#include "plan/plan.h"

namespace lugwise::plan::inside {

enum class Wiggles { Asked, LeftOut };

// Adds to a plan of readings, without taking one away:
// - after the readings of each opening, a sweep for each knob whose wiper probes within reach see moving, with the least
//   handling there;
// - there, too, the value of each capacitor that nothing else joins, where the meter has capacitance ranges;
// - at the end, where wiggles are asked for, the fewest of the plan's readings whose way runs through the joints, blobs, pressed contacts and plugs
//   that can be moved; in a plan from outside only the plugs.
// Numbers, parked probes and seconds follow. The answer is what all this shows, worn tracks and open capacitors, as
// indices into Plan::faults.
std::vector<std::size_t> add_motion(const Harness& harness, Plan& plan, Wiggles wiggles);

}  // namespace lugwise::plan::inside
