// What `plan --html` says: the checklist as a sheet of two or three pages to work from.
#pragma once

#include <string>

#include "drawing/drawing.h"
#include "harness/harness.h"
#include "plan/plan.h"
#include "report/heading.h"

namespace lugwise {

// One picture with a letter at each place a probe goes to, a table of the steps with a blank and a second one for a reading
// taken again, then what a wrong reading points to and what no step shows. What is typed into it is judged by the limits in
// the page, and can be saved as a readings file. `places` is where the picture's parts are wanted. Throws std::logic_error where the heading has no meter.
std::string as_sheet(const Heading& heading, const Harness& harness, const Plan& plan,
                     const Places& places = {});

}  // namespace lugwise
