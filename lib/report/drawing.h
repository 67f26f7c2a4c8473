// What `draw` says of the picture it made, as JSON.
#pragma once

#include <string>

#include "drawing/drawing.h"
#include "report/heading.h"

namespace lugwise {

// How large the picture is (units of its own), how often wires cross, and how many found no way. `file` is where it was written;
// where that is empty the picture itself is in the answer.
std::string as_json(const Heading& heading, const Layout& layout, const Extent& extent,
                    const std::string& file, const std::string& svg);

}  // namespace lugwise
