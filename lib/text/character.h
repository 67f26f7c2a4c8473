// The characters of a person's text (UTF-8): where one ends, and how many there are. A byte that belongs to no character
// counts as one.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lugwise::text {

// Where the text stops being UTF-8; its size if it never does.
std::size_t utf8_end(std::string_view text);
bool is_utf8(std::string_view text);

// Whether a byte is the first of a character, where all are valid.
constexpr bool begins_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0) != 0x80; }

// The bytes of the character at the start of a text that isn't empty.
std::size_t character_length(std::string_view text);

// Which one it is; kNoCharacter where its bytes are none.
inline constexpr char32_t kNoCharacter = 0xFFFD;
char32_t character_at(std::string_view text);

// How many characters.
std::size_t length(std::string_view text);

// Its beginning of so many characters, or of as many whole ones as fit in so many bytes.
std::string_view first_characters(std::string_view text, std::size_t count);
std::string_view first_bytes(std::string_view text, std::size_t bytes);

}  // namespace lugwise::text
