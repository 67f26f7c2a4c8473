#include "intake/inside/brackets.h"

namespace lugwise::intake::inside {

Brackets::Brackets(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const bool starts =
        i == 0 || std::string_view(" \t\n\r[]{},").find(text[i - 1]) != std::string_view::npos;
    if (c == '#' && starts) {
      while (i + 1 < text.size() && text[i + 1] != '\n') ++i;
    } else if ((c == '"' || c == '\'') && starts) {
      const std::size_t end = quote_end(text, i);
      if (end == std::string_view::npos) {
        open_quote_ = i;
        return;
      }
      i = end;
    } else if (c == '[' || c == '{') {
      open_.push_back(i);
      if (open_.size() > kDeepest && !too_deep_) too_deep_ = i;
    } else if (c == ']' || c == '}') {
      if (open_.empty()) continue;
      if ((text[open_.back()] == '[') != (c == ']')) {
        if (!mismatch_) mismatch_ = std::pair(open_.back(), i);
      }
      open_.pop_back();
    }
  }
}

std::size_t Brackets::quote_end(std::string_view text, std::size_t start) {
  const char quote = text[start];
  for (std::size_t i = start + 1; i < text.size(); ++i) {
    if (quote == '"' && text[i] == '\\') {
      ++i;
    } else if (text[i] == quote) {
      if (quote == '\'' && i + 1 < text.size() && text[i + 1] == quote) {
        ++i;
        continue;
      }
      return i;
    }
  }
  return std::string_view::npos;
}

}  // namespace lugwise::intake::inside
