#include "session/inside/typed.h"

#include <cstddef>

namespace lugwise::inside {
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
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  for (std::size_t i = 0; i < text.size();) {
    const unsigned char lead = byte(i);
    const std::size_t length = lead < 0x80 ? 1 : lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
    if ((lead >= 0x80 && lead < 0xc2) || lead > 0xf4 || i + length > text.size()) return false;
    for (std::size_t k = 1; k < length; ++k) {
      if ((byte(i + k) & 0xc0) != 0x80) return false;
    }
    // Overlong forms, halves of pairs, what lies beyond the last character, and the control characters of Latin 1.
    if (lead == 0xe0 && byte(i + 1) < 0xa0) return false;
    if (lead == 0xed && byte(i + 1) > 0x9f) return false;
    if (lead == 0xf0 && byte(i + 1) < 0x90) return false;
    if (lead == 0xf4 && byte(i + 1) > 0x8f) return false;
    if (lead == 0xc2 && byte(i + 1) < 0xa0) return false;
    i += length;
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

}  // namespace lugwise::inside
