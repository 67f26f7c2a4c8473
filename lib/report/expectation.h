// What `expect` says: what a meter should show between two points, and what the reading runs through.
#pragma once

#include <cstddef>
#include <string>

#include "harness/harness.h"
#include "page/text.h"
#include "record/expected_reading.h"
#include "report/heading.h"

namespace lugwise {

// What the meter should show there, through what the reading runs, and whether what somebody read agrees. `columns` is the width of
// the text, 24 at least. All throw std::logic_error where the heading has no meter.
std::string as_text(const Heading& heading, const Harness& harness, const ExpectedReading& reading,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const ExpectedReading& reading);
std::string as_json(const Heading& heading, const Harness& harness, const ExpectedReading& reading);

}  // namespace lugwise
