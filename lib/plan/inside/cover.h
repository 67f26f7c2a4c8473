// How few sets hold everything that any of them holds? Private to this room.
#pragma once

#include <vector>

#include "plan/inside/fault_set.h"

namespace lugwise::plan::inside {

struct Cover {
  std::vector<std::size_t> sets;  // indices of a cover; no other has fewer where sets.size() == least
  std::size_t least = 0;          // no cover has fewer

  bool exact() const { return sets.size() == least; }
};

// A smallest cover of `wanted`, all of which the sets hold together. Dominated rows and columns are dropped and forced
// columns taken until nothing changes, before and within a branch and bound; bounded by faults that no set holds two of.
// Where that takes more than `most_nodes` nodes the best so far is returned with the bound proven so far.
Cover smallest_cover(const std::vector<FaultSet>& sets, const FaultSet& wanted,
                     std::size_t most_nodes = 20'000);

}  // namespace lugwise::plan::inside
