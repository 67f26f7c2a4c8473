// What lies over a cavity, and how long it takes to get it off. Private to this room.
#pragma once

#include <optional>

#include "intake/inside/tree.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// Seconds: `control plate`, `scratchplate`, or a time of its own (`4 min`, `240`). None where it is refused.
std::optional<double> read_opening(const Node& node, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
