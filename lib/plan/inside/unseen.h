// Why no allowed probe shows a fault, and what would. Private to this room.
#pragma once

#include <string>
#include <vector>

#include "plan/inside/survey.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

struct UnseenReason {
  std::string why;
  std::string would;
};

// Of faults[number], one of those that the surveys were made for.
UnseenReason why_unseen(const Harness& harness, const std::vector<Fault>& faults, std::size_t number,
                        const PlanOptions& options, const std::vector<Survey>& surveys);

}  // namespace lugwise::plan::inside
