#include "source/source_text.h"

#include <algorithm>

#include "text/character.h"

namespace lugwise {
namespace {

constexpr std::size_t kBlock = 256;

}  // namespace

SourceText::SourceText(std::string_view text) : text_(text), starts_{0} {
  std::size_t characters = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i % kBlock == 0) block_chars_.push_back(characters);
    if (lugwise::text::begins_character(text[i])) ++characters;
    const bool before_feed = text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n';
    if (text[i] == '\n' || (text[i] == '\r' && !before_feed)) starts_.push_back(i + 1);
  }
  block_chars_.push_back(characters);
}

std::string_view SourceText::line(std::uint32_t number) const {
  if (number == 0 || number > starts_.size()) return {};
  const std::size_t start = starts_[number - 1];
  std::string_view line =
      text_.substr(start, number < starts_.size() ? starts_[number] - start : std::string_view::npos);
  while (!line.empty() && (line.back() == '\n' || line.back() == '\r')) line.remove_suffix(1);
  return line;
}

std::size_t SourceText::characters_before(std::size_t offset) const {
  std::size_t characters = block_chars_[offset / kBlock];
  for (std::size_t i = offset - offset % kBlock; i < offset; ++i)
    characters += lugwise::text::begins_character(text_[i]) ? 1 : 0;
  return characters;
}

Span SourceText::span(std::size_t offset, std::size_t bytes) const {
  offset = std::min(offset, text_.size());
  const auto next = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const auto number = static_cast<std::uint32_t>(next - starts_.begin());
  const std::size_t start = starts_[number - 1];
  const std::size_t end =
      std::max(offset, std::min(offset + std::min(bytes, text_.size()), start + line(number).size()));
  const std::size_t here = characters_before(offset);
  Span span;
  span.line = number;
  span.column = static_cast<std::uint32_t>(here - characters_before(start) + 1);
  span.length = std::max<std::uint32_t>(1, static_cast<std::uint32_t>(characters_before(end) - here));
  return span;
}

}  // namespace lugwise
