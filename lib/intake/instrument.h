// The meter, from a file of its own: a map with the keys of a netlist's `meter`, or one under the key `meter`.
#pragma once

#include <optional>
#include <string_view>

#include "meter/meter.h"
#include "source/diagnostic.h"

namespace lugwise {

// Nothing where the text describes no meter; the reasons are then in the diagnostics.
std::optional<Meter> read_meter(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
