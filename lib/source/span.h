// Where in a text: line and column count from one, as editors do; columns are characters, not bytes.
#pragma once

#include <cstdint>

namespace lugwise {

struct Span {
  std::uint32_t line = 0;  // 0: nowhere in the text
  std::uint32_t column = 0;
  std::uint32_t length = 1;  // characters to underline
  std::uint32_t file = 0;    // which of the files a text was put together from: 0 is the one that was named

  bool known() const { return line != 0; }
  friend bool operator==(const Span&, const Span&) = default;
};

}  // namespace lugwise
