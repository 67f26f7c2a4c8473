#include "intake/prompt_word.h"

#include <algorithm>
#include <string>

namespace lugwise {

std::optional<PromptWord> find_prompt_word(std::string_view typed) {
  const auto low = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
  const auto same = [&](std::string_view name) {
    return std::equal(name.begin(), name.end(), typed.begin(), typed.end(),
                      [&](char a, char b) { return a == low(b); });
  };
  const auto found = std::find_if(kPromptWords.begin(), kPromptWords.end(),
                                  [&](const auto& word) { return same(word.first); });
  return found != kPromptWords.end() ? std::optional(found->second) : std::nullopt;
}

bool begins_with_prompt_word(std::string_view typed) {
  const std::size_t first = std::min(typed.find_first_not_of(" \t"), typed.size());
  const std::string_view rest = typed.substr(first);
  if (find_prompt_word(rest.substr(0, rest.find_first_of(" \t")))) return true;
  std::string close(rest);
  std::erase_if(close, [](char c) { return c == ' ' || c == '\t'; });
  return find_prompt_word(close).has_value();
}

}  // namespace lugwise
