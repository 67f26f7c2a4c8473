// The colours a wire can be said to have, as they look on paper.
#pragma once

#include <string>
#include <string_view>

namespace lugwise::drawing::inside {

struct Paint {
  std::string base;    // "#rrggbb"
  std::string stripe;  // of a second colour; empty: none
  bool known = false;  // some colour was named
};

// "white", "dark green", "red/white", "white with blue stripe": the first colour named, and the second as a stripe. What
// names none is grey.
Paint paint_of(std::string_view words);

}  // namespace lugwise::drawing::inside
