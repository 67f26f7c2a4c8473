#include "sheet/aside.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <optional>
#include <utility>

namespace lugwise {
namespace {

constexpr std::array<std::pair<Aside::Kind, std::string_view>, 4> kWords{{
    {Aside::Kind::TakenAgain, "taken again"},
    {Aside::Kind::Undone, "undone"},
    {Aside::Kind::AnotherMeter, "another meter"},
    {Aside::Kind::PassedOver, "passed over"},
}};
constexpr std::string_view kMended = "repair ";
constexpr std::string_view kBefore = "before repair ";

// The number behind the word, as it would be written.
std::optional<std::size_t> number_after(std::string_view text, std::string_view word) {
  if (!text.starts_with(word)) return std::nullopt;
  text.remove_prefix(word.size());
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size() || text.front() == '0') return std::nullopt;
  return number;
}

}  // namespace

Aside mended_by(std::size_t repair) { return {Aside::Kind::Mended, repair, {}}; }
Aside before_repair(std::size_t repair) { return {Aside::Kind::BeforeRepair, repair, {}}; }

std::string word_of(const Aside& aside) {
  for (const auto& [kind, word] : kWords) {
    if (aside.kind == kind) return std::string(word);
  }
  if (aside.is(Aside::Kind::Mended)) return fmt::format("{}{}", kMended, aside.repair);
  if (aside.is(Aside::Kind::BeforeRepair)) return fmt::format("{}{}", kBefore, aside.repair);
  return aside.reason;
}

std::string in_words(const Aside& aside) { return aside.reason.empty() ? word_of(aside) : aside.reason; }

Aside find_aside(std::string_view words) {
  if (words.empty()) return {};
  for (const auto& [kind, word] : kWords) {
    if (words == word) return {kind, 0, {}};
  }
  if (const auto number = number_after(words, kMended)) return mended_by(*number);
  if (const auto number = number_after(words, kBefore)) return before_repair(*number);
  return {Aside::Kind::Said, 0, std::string(words)};
}

}  // namespace lugwise
