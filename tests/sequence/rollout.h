// best_next() by rollout, whatever the budget: over the tests that say most for their cost.
#pragma once

#include <optional>

#include "sequence/inside/search.h"

namespace lugwise::test {

inline std::optional<Choice> rollout_next(const Inquiry& inquiry, std::size_t wide = 24) {
  const sequence::inside::Search search(inquiry);
  return search.rollout(search.all(), wide);
}

}  // namespace lugwise::test
