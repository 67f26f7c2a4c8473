// How large a fault is, as somebody types it.
#pragma once

#include <string_view>

#include "fault/fault.h"
#include "harness/harness.h"
#include "intake/value.h"

namespace lugwise {

// Of a cold joint or dirty contact more than 0 ohms, `100` or `4.7k`; of a wrong value how many times the right one it is, `0.5`
// or `50%`, 1000 at most. Refused of a fault that has no size.
Parsed<double> parse_fault_size(const Harness& harness, const Fault& fault, std::string_view typed);

}  // namespace lugwise
