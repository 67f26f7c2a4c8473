// How an HTML page looks.
#pragma once

#include <string_view>

namespace lugwise::page::inside {

// Dark text on white, light on dark where the screen is so, black on white on paper.
std::string_view style_sheet();

}  // namespace lugwise::page::inside
