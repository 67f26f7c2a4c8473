#include "plan/inside/legs.h"

namespace lugwise::plan::inside {
namespace {

// Between so many settings the turns are counted once; a loom has more.
constexpr std::size_t kMostTabled = 2048;

}  // namespace

Legs::Legs(const Harness& harness, const Costs& costs, const std::vector<Setting>& settings)
    : harness_(harness), costs_(costs), settings_(settings) {
  const Setting start(harness);
  const std::size_t n = settings.size();
  for (const Setting& setting : settings) first_turns_.push_back(turns_between(harness, start, setting));
  if (n > kMostTabled) return;
  turns_.resize(n * n);
  for (std::size_t s = 0; s < n; ++s) {
    for (std::size_t t = s + 1; t < n; ++t)
      turns_[s * n + t] = turns_[t * n + s] =
          static_cast<std::uint16_t>(turns_between(harness, settings[s], settings[t]));
  }
}

}  // namespace lugwise::plan::inside
