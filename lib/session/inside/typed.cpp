#include "session/inside/typed.h"

#include <cstddef>

#include "text/character.h"

namespace lugwise::session::inside {
namespace {

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

}  // namespace

std::string cleaned(std::string_view typed) {
  std::string text;
  for (const char c : typed) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '\t') text += ' ';
    if (byte >= 0x20 && byte != 0x7f) text += c;
  }
  return std::string(trimmed(text));
}

bool is_utf8(std::string_view text) {
  for (; !text.empty(); text.remove_prefix(lugwise::text::character_length(text))) {
    const char32_t character = lugwise::text::character_at(text);
    // The control characters of Latin 1 are no text either.
    if (character == lugwise::text::kNoCharacter || (character >= 0x80 && character < 0xA0)) return false;
  }
  return true;
}

std::pair<std::string_view, std::string_view> first_word(std::string_view text) {
  text = trimmed(text);
  const std::size_t end = text.find(' ');
  if (end == std::string_view::npos) return {text, {}};
  return {text.substr(0, end), trimmed(text.substr(end))};
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (;;) {
    const auto [word, rest] = first_word(text);
    if (word.empty()) return words;
    words.emplace_back(word);
    text = rest;
  }
}

}  // namespace lugwise::session::inside
