// A repair by its words.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "harness/harness.h"
#include "source/diagnostic.h"
#include "source/span.h"

namespace lugwise {

// The points of a repair: a point, a part for all its points, or both in a sentence such as "the joint of front.hot at
// selector.f". No point for an empty text; nothing where a word names no place, and why is then in the diagnostics.
std::optional<std::vector<PointId>> find_repair(const Harness& harness, std::string_view text,
                                                Diagnostics& diagnostics, Span at = {});

}  // namespace lugwise
