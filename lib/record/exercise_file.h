// An exercise, and the log of who works on it, as files.
#pragma once

#include <string>

#include "harness/harness.h"
#include "record/record.h"
#include "sheet/exercise_note.h"

namespace lugwise {

// A readings file with what makes it an exercise's.
std::string as_exercise_file(const Harness& harness, const Record& record, const ExerciseNote& note);

}  // namespace lugwise
