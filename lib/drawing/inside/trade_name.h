// What the trade calls parts, and what that says of where they lie. Common practice, no source.
#pragma once

#include <initializer_list>
#include <string_view>

#include "harness/harness.h"

namespace lugwise::drawing::inside {

// Whether one of these is in the name, in small letters or large.
bool says(std::string_view name, std::initializer_list<std::string_view> words);

// From the neck to the bridge: 0 to 2.
int rank_of(std::string_view name);

// Metal at the strings' end: bridge, tailpiece, claw and springs.
bool at_the_bridge(const Harness& harness, const Part& part);

// A resistor in a pickup's place, as on a practice card.
bool stands_in(const Part& part);

}  // namespace lugwise::drawing::inside
