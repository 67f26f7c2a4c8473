// Where a fault or an element sits, short enough for a list: "the joint" is left to the heading of the list.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "fault/fault.h"
#include "harness/harness.h"

namespace lugwise::report {
inline namespace inside {

// The word reports use for a kind of element.
Site site_of(ElementKind kind);

// "coil front", "wire from selector.out to volume.3".
std::string place_in_words(const Harness& harness, const Element& element);

// "9 joints, 3 wires and 1 coil; no short in 2 places": what is known to be sound where these faults are ruled out.
std::string proof_in_words(const Harness& harness, const std::vector<Fault>& faults);

// "joints front.hot at selector.f, volume.3>tone.1; coil front; and 3 more": each place once, the commonest first and at
// most `most` of them.
std::string names_of_places(const Harness& harness, const std::vector<Fault>& faults, std::size_t most);

}  // namespace inside
}  // namespace lugwise::report
