// How wide a text is, and how to make it fit. Widths are those of the sans-serif the picture asks for; the picture also
// states each width, so that another font is set to the same.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "drawing/layout.h"

namespace lugwise::drawing::inside {

double text_width(std::string_view text, double size, bool bold = false);

// The text, or as much of it as fits, then "…".
std::string shortened(std::string_view text, double size, double most, bool bold = false);

// At most `lines` lines no wider than `most`, broken behind spaces, - and _; the last shortened where it must be.
std::vector<std::string> wrapped(std::string_view text, double size, double most, std::size_t lines,
                                 bool bold = false);

// What a piece of lettering covers.
Box box_of(const Lettering& lettering);

}  // namespace lugwise::drawing::inside
