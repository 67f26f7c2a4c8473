// A map of meter keys, as it stands in a netlist, a readings file or a meter file; and a temperature.
#pragma once

#include <optional>

#include "intake/inside/tree.h"
#include "meter/meter.h"

namespace lugwise::intake::inside {

// What is not given is as in the assumed meter, but `leads` is then 0 to 0.5. A display of 1999 counts is one of 2000.
std::optional<Meter> read_meter_map(const Node& node, Span at, Diagnostics& diagnostics);

// Degrees Celsius, from -20 to 60.
std::optional<double> read_temperature(const Node& node, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
