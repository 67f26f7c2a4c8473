// What the sheet, the key and the question of an exercise say alike.
#pragma once

#include <string>
#include <vector>

#include "exercise/exercise.h"
#include "fault/fault.h"
#include "harness/harness.h"

namespace lugwise::report {
inline namespace inside {

// "03", as its files are called.
std::string number_in_words(const Exercise& exercise);

// "selector front, tone 0": the switches, and of the other controls those that don't stand as they do unless set.
std::string unusual_in_words(const Harness& harness, const Setting& setting);

// What the player says, as "front silent, with selector front, volume 10, jack in; buzzes until the strings are touched".
std::string complaints_in_words(const Harness& harness, const Exercise& exercise);

// Each fault of a group.
std::vector<std::string> group_in_words(const Harness& harness, const std::vector<Fault>& faults,
                                        const std::vector<std::size_t>& group);

}  // namespace inside
}  // namespace lugwise::report
