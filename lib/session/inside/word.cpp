#include "session/inside/word.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

#include "source/nearest.h"

namespace lugwise::inside {
namespace {

// Each by its name, by one letter, and by what else people say.
constexpr std::array<std::pair<std::string_view, Word>, 44> kWords{{
    {"why", Word::Why},
    {"w", Word::Why},
    {"explain", Word::Why},
    {"undo", Word::Undo},
    {"u", Word::Undo},
    {"skip", Word::Skip},
    {"s", Word::Skip},
    {"again", Word::Again},
    {"a", Word::Again},
    {"repeat", Word::Again},
    {"note", Word::Note},
    {"n", Word::Note},
    {"range", Word::Range},
    {"r", Word::Range},
    {"meter", Word::Meter},
    {"m", Word::Meter},
    {"go", Word::Go},
    {"g", Word::Go},
    {"more", Word::More},
    {"+", Word::More},
    {"list", Word::List},
    {"l", Word::List},
    {"picture", Word::Picture},
    {"p", Word::Picture},
    {"draw", Word::Picture},
    {"suspects", Word::Suspects},
    {"x", Word::Suspects},
    {"heard", Word::Heard},
    {"e", Word::Heard},
    {"hear", Word::Heard},
    {"repaired", Word::Repaired},
    {"f", Word::Repaired},
    {"fixed", Word::Repaired},
    {"mended", Word::Repaired},
    {"help", Word::Help},
    {"h", Word::Help},
    {"?", Word::Help},
    {"stop", Word::Stop},
    {"q", Word::Stop},
    {"quit", Word::Stop},
    {"exit", Word::Stop},
    {"done", Word::Done},
    {"d", Word::Done},
    {"ok", Word::Done},
}};

std::string lower(std::string_view text) {
  std::string low(text);
  std::transform(low.begin(), low.end(), low.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return low;
}

}  // namespace

std::optional<Word> find_word(std::string_view typed) {
  const std::string low = lower(typed);
  for (const auto& [name, word] : kWords) {
    if (name == low) return word;
  }
  return std::nullopt;
}

std::optional<std::string> nearest_word(const std::string& typed) {
  std::vector<std::string> names{"OL", "beep", "no beep", "unstable", "steady", "smooth", "jumps"};
  for (const auto& [name, word] : kWords) {
    if (name.size() > 1) names.emplace_back(name);
  }
  return nearest_name(typed, names);
}

}  // namespace lugwise::inside
