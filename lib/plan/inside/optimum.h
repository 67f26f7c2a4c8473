// Is there a quicker plan, where nothing has to be opened, and how quick could any be? Private to this room.
#pragma once

#include <vector>

#include "plan/inside/route.h"
#include "plan/inside/survey.h"

namespace lugwise::plan::inside {

struct Optimum {
  std::vector<RouteChoice>
      quicker;       // the quickest plan found, in its order; empty where none takes less than asked
  double least = 0;  // no plan takes fewer seconds; 0: not looked for
};

// Of all plans that show `wanted` with candidates of surveys[of], in any order, given one of so many seconds. Where the
// search is not through after `most_work`, some millions of which are a blink, `least` is what is proven by then.
// docs/plan.md has the proof. Not looked for among too many candidates, more than 64 points, or where a sweep takes less
// than a turn.
Optimum find_optimum(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
                     std::size_t of, const FaultSet& wanted, double seconds,
                     std::size_t most_work = 15'000'000);

}  // namespace lugwise::plan::inside
