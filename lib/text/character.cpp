#include "text/character.h"

#include <utf8cpp/utf8.h>

#include <algorithm>

namespace lugwise::text {

std::size_t utf8_end(std::string_view text) {
  return static_cast<std::size_t>(utf8::find_invalid(text.begin(), text.end()) - text.begin());
}

bool is_utf8(std::string_view text) { return utf8::is_valid(text.begin(), text.end()); }

std::size_t character_length(std::string_view text) {
  for (std::size_t bytes = 1; bytes <= std::min<std::size_t>(4, text.size()); ++bytes) {
    if (is_utf8(text.substr(0, bytes))) return bytes;
  }
  return 1;
}

char32_t character_at(std::string_view text) {
  const std::string_view first = text.substr(0, character_length(text));
  if (!is_utf8(first)) return kNoCharacter;
  auto at = first.begin();
  return utf8::unchecked::next(at);
}

std::size_t length(std::string_view text) {
  std::size_t count = 0;
  for (; !text.empty(); ++count) text.remove_prefix(character_length(text));
  return count;
}

std::string_view first_characters(std::string_view text, std::size_t count) {
  std::size_t end = 0;
  for (; count > 0 && end < text.size(); --count) end += character_length(text.substr(end));
  return text.substr(0, end);
}

std::string_view first_bytes(std::string_view text, std::size_t bytes) {
  std::size_t end = 0;
  while (end < text.size()) {
    const std::size_t next = end + character_length(text.substr(end));
    if (next > bytes) break;
    end = next;
  }
  return text.substr(0, end);
}

}  // namespace lugwise::text
