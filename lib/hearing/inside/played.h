// One circuit with amplifiers on its plugs, as a player has it. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "hearing/hearing.h"

namespace lugwise {

// What is heard of it, with a fault if one is given; nothing where no plug is in. `through_modules`: each module joins its
// points, so that what goes through it is heard too.
std::optional<Hearing> scan(const Harness& harness, const Circuit& sound, const Fault* fault, double size,
                            bool through_modules);

// Whether the points of modules and batteries hang together through little in one circuit and not in the other.
bool parts_supply(const Harness& harness, const Circuit& sound, const Circuit& faulty);

}  // namespace lugwise
