// A line as it comes from a keyboard, made fit to be kept.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace lugwise::session::inside {

// Without control characters and without blanks at its ends.
std::string cleaned(std::string_view typed);

// Whether it is UTF-8 throughout.
bool is_utf8(std::string_view text);

// The first word and the rest, without blanks around them.
std::pair<std::string_view, std::string_view> first_word(std::string_view text);

// Its words.
std::vector<std::string> words_of(std::string_view text);

}  // namespace lugwise::session::inside
