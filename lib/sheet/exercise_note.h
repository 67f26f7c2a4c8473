// What makes a readings file an exercise's, or a student's answer to one.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "source/span.h"

namespace lugwise {

// What a student names as the fault.
struct NamedFault {
  std::string words;
  Span at;
};

struct ExerciseNote {
  std::string number;  // "03"
  int level = 1;
  std::string seal;       // what is wrong, so that nobody reads it; empty in an answer from paper
  std::string by;         // whose answer it is; empty: nobody's yet
  std::size_t given = 0;  // the first so many readings stood on the sheet
  std::vector<NamedFault> claims;
};

}  // namespace lugwise
