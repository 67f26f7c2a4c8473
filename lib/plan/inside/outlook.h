// What a plan is asked to show, all that could be probed for it, and what all of that shows. Private to this room.
#pragma once

#include <vector>

#include "fault/fault.h"
#include "plan/inside/fault_set.h"
#include "plan/inside/survey.h"
#include "plan/plan.h"

namespace lugwise::plan::inside {

// The same for a usual and a quick plan.
struct Outlook {
  std::vector<Fault> faults;
  std::vector<double> sizes;    // as Plan::sizes has them
  std::vector<Survey> surveys;  // one an opening, in order
  FaultSet shown;
};

// Throws NetworkTooDense.
Outlook look_out(const Harness& harness, const PlanOptions& options, const Reached& reached);

// The same for those faults that a usual plan asks of, out of an outlook on more.
Outlook usual_part(const Harness& harness, const PlanOptions& options, const Outlook& all);

}  // namespace lugwise::plan::inside
