// Where a part is wanted on the picture. Private to this room.
#pragma once

#include <optional>

#include "harness/places.h"
#include "intake/inside/tree.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// Its order and row, `[0, 2]`, or where its middle is, `[120 mm, 45 mm]`. None where it is refused.
std::optional<Place> read_picture_place(const Node& node, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
