// The words that can be typed at the prompt beside readings.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lugwise::inside {

enum class Word {
  Why,
  Undo,
  Skip,
  Again,
  Note,
  Range,
  Meter,
  Go,
  More,
  List,
  Picture,
  Suspects,
  Heard,
  Repaired,
  Help,
  Stop,
  Done,
};

// Whatever its case.
std::optional<Word> find_word(std::string_view typed);

// What a mistyped word was probably meant to be, words for readings among them.
std::optional<std::string> nearest_word(const std::string& typed);

}  // namespace lugwise::inside
