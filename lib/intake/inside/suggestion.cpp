#include "intake/inside/suggestion.h"

#include <fmt/format.h>

#include "intake/inside/synonym.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostLookedAt = 2'000'000;
constexpr std::size_t kShortList = 24;

}  // namespace

bool Suggestions::afford(std::size_t names) {
  looked_at_ += names + 1;
  return looked_at_ < kMostLookedAt;
}

void Suggestions::note(Diagnostic& error, std::string_view name, const std::vector<std::string>& candidates,
                       std::string_view choice) {
  if (!afford(candidates.size())) return;
  if (const auto nearest = meant_name(name, candidates)) {
    error.note(fmt::format("nearest name is '{}'", *nearest));
  } else if (!candidates.empty() && candidates.size() <= kShortList) {
    error.note(fmt::format("{} {}", choice, fmt::join(candidates, ", ")));
  }
}

}  // namespace lugwise::intake::inside
