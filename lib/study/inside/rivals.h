// What would others need, who use no diagnosis? Private to this room.
#pragma once

#include <vector>

#include "handling/handling.h"
#include "harness/harness.h"
#include "plan/plan.h"
#include "study/study.h"

namespace lugwise::study::inside {

// The first reading of a plan that was wrong.
struct WrongStep {
  const Step* step = nullptr;
  bool low = false;  // it was below what it should be
};

// Two other ways from the first wrong reading on: both know which places it may point to, high or low, and no more. One
// takes the rest of the plan and then tries place by place, the last of which needs no probe; the other halves the places
// with each probe. `steps` are those of the plan that take a reading in ohms, or sweep; `fault` is what is wrong.
struct Rivals {
  Effort in_order, halving;
};
Rivals rivals_of(const Harness& harness, const StudyOptions& options, const Plan& plan,
                 const std::vector<const Step*>& steps, const WrongStep& wrong, const Fault& fault);

}  // namespace lugwise::study::inside
