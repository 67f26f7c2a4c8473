// A workshop's seconds and weights, from a file of its own.
#pragma once

#include <optional>
#include <string_view>

#include "handling/handling.h"
#include "source/diagnostic.h"

namespace lugwise {

// Nothing where the text describes no workshop; the reasons are then in the diagnostics.
std::optional<Workshop> read_workshop(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
