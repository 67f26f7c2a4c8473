// What a readings file says of an exercise: whose answer to which one it is, and what is named as the fault.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "sheet/exercise_note.h"
#include "source/diagnostic.h"

namespace lugwise {

// None where the file is no exercise's, or where there are errors; these are then in the diagnostics. The rest of the file is
// read_sheet's.
std::optional<ExerciseNote> read_exercise(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
