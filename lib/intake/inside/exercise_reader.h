// Whose answer to which exercise a readings file is.
#pragma once

#include <string>

#include "intake/inside/tree.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise::inside {

ExerciseNote read_exercise(const Node& node, Span at, Diagnostics& diagnostics);

// Exercise "3" is "03", as its files are called.
std::string in_two_digits(const std::string& number);

}  // namespace lugwise::inside
