#include "intake/inside/meant.h"

#include <algorithm>

#include "intake/inside/number_mark.h"
#include "intake/inside/quantity.h"
#include "text/character.h"

namespace lugwise::intake::inside {

namespace {

// Without the marks that stand before or behind a value in a sentence.
std::string_view without_ends(std::string_view text) {
  constexpr std::string_view kBefore = "~=<(\"'`", kBehind = ",;:.!?)\"'`";
  while (!text.empty() && kBefore.find(text.front()) != std::string_view::npos) text.remove_prefix(1);
  while (!text.empty() && kBehind.find(text.back()) != std::string_view::npos) text.remove_suffix(1);
  return trim(text);
}

}  // namespace

std::string quoted(std::string_view text) {
  constexpr std::size_t kShown = 40;
  if (text.size() <= kShown) return fmt::format("'{}'", text);
  return fmt::format("'{}...'", lugwise::text::first_bytes(text, kShown));
}

std::string likely(std::string_view meant) { return fmt::format("did you mean '{}'?", meant); }

std::string likely(const std::vector<std::string>& meant) {
  return fmt::format("did you mean '{}'?", fmt::join(meant, "' or '"));
}

std::string meant_by_marks(std::string_view text, bool (*is_value)(std::string_view)) {
  const std::string usual = with_usual_letters(text);
  std::vector<std::string> meant = meanings(without_ends(usual));
  std::erase_if(meant, [&](const std::string& one) { return !is_value(one); });
  if (meant.size() == 2) return "a comma may part thousands or be the point: " + likely(meant);
  if (meant.size() == 1) {
    const bool comma = usual.find(',') != std::string::npos && usual.find('.') == std::string::npos;
    return (comma ? "the decimal mark is a point: " : "") + likely(meant);
  }
  const std::string bare(without_ends(usual));
  return bare != text && is_value(bare) ? likely(bare) : "";
}

}  // namespace lugwise::intake::inside
