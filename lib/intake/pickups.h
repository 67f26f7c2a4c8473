// A lot of measured pickups, to be compared and put into sets: its file, read and checked.
#pragma once

#include <optional>
#include <string_view>

#include "match/match.h"
#include "source/diagnostic.h"

namespace lugwise {

// Nothing where there are errors; all of them are then in the diagnostics. `meter` and `celsius`, where given, are believed
// before the file's.
std::optional<Lot> read_pickups(std::string_view text, Diagnostics& diagnostics, const Meter* meter = nullptr,
                                std::optional<double> celsius = std::nullopt);

}  // namespace lugwise
