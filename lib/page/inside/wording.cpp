#include "page/inside/wording.h"

#include "text/character.h"
#include "text/safe.h"

namespace lugwise::page::inside {

std::string one_line(std::string_view text) { return lugwise::text::in_one_line(text); }

std::size_t width(std::string_view text) { return lugwise::text::length(text); }

std::string padded(std::string_view text, std::size_t columns) {
  const std::size_t used = width(text);
  return std::string(text) + std::string(used < columns ? columns - used : 0, ' ');
}

std::string padded_left(std::string_view text, std::size_t columns) {
  const std::size_t used = width(text);
  return std::string(used < columns ? columns - used : 0, ' ') + std::string(text);
}

std::string in_words(const std::vector<Labelled>& places) {
  std::string text;
  for (const Labelled& place : places)
    text += (text.empty() ? "Probes on " : " and ") + place.label + ": " + place.text;
  return text + ".";
}

std::string_view without_colon(std::string_view title) {
  if (title.ends_with(':')) title.remove_suffix(1);
  return title;
}

}  // namespace lugwise::page::inside
