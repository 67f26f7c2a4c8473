// A text with its lines counted: turns a place in it into a line and a column, and a line number into the line.
//
// Lines end at LF, CR LF or a lone CR. The text must outlive this.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "source/span.h"

namespace lugwise {

class SourceText {
 public:
  explicit SourceText(std::string_view text);

  std::string_view text() const { return text_; }
  std::size_t lines() const { return starts_.size(); }

  // One line without its end, counted from one; empty where there is no such line.
  std::string_view line(std::uint32_t number) const;

  // The span of `bytes` bytes from `offset` on; an offset past the end is the end. Never longer than its line.
  Span span(std::size_t offset, std::size_t bytes) const;

 private:
  std::size_t characters_before(std::size_t offset) const;

  std::string_view text_;
  std::vector<std::size_t> starts_;       // offset of each line
  std::vector<std::size_t> block_chars_;  // characters before each block of bytes
};

}  // namespace lugwise
