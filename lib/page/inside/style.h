// How an HTML page looks.
#pragma once

#include <string_view>

namespace lugwise::page::inside {

// Dark text on white, light on dark where the screen is so, black on white on paper; the text of style.css. A test works out the
// contrast of each `color` with the grounds it may stand on, so both are named there and nowhere else.
std::string_view style_sheet();

// What a page with leaves has besides; the text of leaf.css.
std::string_view leaf_style();

}  // namespace lugwise::page::inside
