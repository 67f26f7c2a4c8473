// The words that a guided session takes at its prompt beside readings. Here, below the session, so that nothing a display
// is said to show can be taken for one.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <utility>

namespace lugwise {

enum class PromptWord {
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

// Each by its name, by one letter, and by what else people say.
inline constexpr std::array<std::pair<std::string_view, PromptWord>, 44> kPromptWords{{
    {"why", PromptWord::Why},
    {"w", PromptWord::Why},
    {"explain", PromptWord::Why},
    {"undo", PromptWord::Undo},
    {"u", PromptWord::Undo},
    {"skip", PromptWord::Skip},
    {"s", PromptWord::Skip},
    {"again", PromptWord::Again},
    {"a", PromptWord::Again},
    {"repeat", PromptWord::Again},
    {"note", PromptWord::Note},
    {"n", PromptWord::Note},
    {"range", PromptWord::Range},
    {"r", PromptWord::Range},
    {"meter", PromptWord::Meter},
    {"m", PromptWord::Meter},
    {"go", PromptWord::Go},
    {"g", PromptWord::Go},
    {"more", PromptWord::More},
    {"+", PromptWord::More},
    {"list", PromptWord::List},
    {"l", PromptWord::List},
    {"picture", PromptWord::Picture},
    {"p", PromptWord::Picture},
    {"draw", PromptWord::Picture},
    {"suspects", PromptWord::Suspects},
    {"x", PromptWord::Suspects},
    {"heard", PromptWord::Heard},
    {"e", PromptWord::Heard},
    {"hear", PromptWord::Heard},
    {"repaired", PromptWord::Repaired},
    {"f", PromptWord::Repaired},
    {"fixed", PromptWord::Repaired},
    {"mended", PromptWord::Repaired},
    {"help", PromptWord::Help},
    {"h", PromptWord::Help},
    {"?", PromptWord::Help},
    {"stop", PromptWord::Stop},
    {"q", PromptWord::Stop},
    {"quit", PromptWord::Stop},
    {"exit", PromptWord::Stop},
    {"done", PromptWord::Done},
    {"d", PromptWord::Done},
    {"ok", PromptWord::Done},
}};

// Whatever its case.
std::optional<PromptWord> find_prompt_word(std::string_view typed);

// Whether a session would take what is typed for one of its words, spaces left out or with more behind it.
bool begins_with_prompt_word(std::string_view typed);

}  // namespace lugwise
