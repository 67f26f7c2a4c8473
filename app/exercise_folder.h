// The files of exercises: what they say of themselves, and where the netlist that they name lies.
#pragma once

#include <string>

#include "command.h"
#include "sheet/exercise_note.h"

namespace lugwise::app {

// What a file says of its exercise; refused where it is none's.
ExerciseNote load_note(Run& run, const std::string& file);

// The same run about other files.
CommandLine about(const Run& run, const std::string& harness, const std::string& readings);

// A name in a file, as seen from where the program runs.
std::string beside(const std::string& file, const std::string& named);

// The netlist that an exercise names.
std::string harness_of(Run& run, const std::string& file);

}  // namespace lugwise::app
