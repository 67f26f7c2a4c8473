// The head file of a batch, read and checked.
#pragma once

#include <optional>
#include <string_view>

#include "sheet/batch_head.h"
#include "source/diagnostic.h"

namespace lugwise {

// Nothing where there are errors, which the diagnostics then hold.
std::optional<BatchHead> read_batch_file(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
