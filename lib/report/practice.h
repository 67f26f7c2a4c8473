// What `exercise work` says to the student at an exercise's instrument.
#pragma once

#include <string>

#include "exercise/practice.h"
#include "harness/harness.h"
#include "page/text.h"
#include "sheet/exercise_note.h"

namespace lugwise {

// What stands before the first line: which exercise, what the player says, the readings that stand on its sheet, how to
// go on.
std::string practice_opening(const Harness& harness, const ExerciseNote& exercise,
                             const std::vector<std::string>& complaints,
                             const std::vector<Observation>& given, std::size_t columns = page::kColumns);

std::string practice_help(std::size_t columns = page::kColumns);

// What became of a line. After a reading the display stands alone on its line, as a meter shows it.
std::string as_text(const Harness& harness, const std::vector<Fault>& faults, const Practice& practice,
                    const PracticeReply& reply, std::size_t columns = page::kColumns);

}  // namespace lugwise
