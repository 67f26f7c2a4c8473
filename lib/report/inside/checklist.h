// Of a plan, what its page says in the long form and in the compact one alike.
#pragma once

#include <string>

#include "harness/harness.h"
#include "page/document.h"
#include "plan/plan.h"
#include "report/heading.h"

namespace lugwise::report {
inline namespace inside {

// What both begin with: whose it is, what to mind before the first probe. Throws std::logic_error where the heading has no meter.
page::Document opening_of(const Heading& heading, const Harness& harness, const Plan& plan);

// What to set before a step; nothing where all stands as it should.
std::string setting_first(const Harness& harness, const Step& step, const Step* before);

page::Section coverage_of(const Harness& harness, const Plan& plan);

// The ground walk, which the plan must have: what is read with one probe parked, and where to look when a reading is wrong.
page::Section walk_of(const Harness& harness, const Plan& plan);

page::Section unseen_of(const Harness& harness, const Plan& plan);

// "usual", "thorough, with leads lifted".
std::string aim_of(const Harness& harness, const PlanOptions& options);

}  // namespace inside
}  // namespace lugwise::report
