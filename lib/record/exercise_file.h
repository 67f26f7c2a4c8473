// An exercise, and the log of who works on it, as files.
#pragma once

#include <string>

#include "exercise/exercise.h"
#include "harness/harness.h"
#include "intake/netlist.h"
#include "record/record.h"
#include "sheet/exercise_note.h"

namespace lugwise {

// What a student gets to work with: the exercise's complaint and readings, with its seal. `harness_file` is what the netlist is
// called there; `options` are those it was made with.
std::string as_exercise_file(const Netlist& netlist, const ExerciseOptions& options, const Exercise& exercise,
                             const std::string& seal, const std::string& harness_file);

// A readings file with what makes it an exercise's.
std::string as_exercise_file(const Harness& harness, const Record& record, const ExerciseNote& note);

}  // namespace lugwise
