// The words that can be typed at the prompt beside readings.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "intake/prompt_word.h"

namespace lugwise::session::inside {

using Word = PromptWord;

// Whatever its case.
inline std::optional<Word> find_word(std::string_view typed) { return find_prompt_word(typed); }

// What a mistyped word was probably meant to be, words for readings among them.
std::optional<std::string> nearest_word(const std::string& typed);

}  // namespace lugwise::session::inside
