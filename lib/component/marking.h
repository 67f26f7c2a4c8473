// What is printed or painted on a resistor, once read.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "component/ohms.h"

namespace lugwise {

struct Marking {
  Ohms ohms = 0;
  std::optional<double> tolerance;  // a share; none: not marked, or disputed
  std::optional<double> drift;      // millionths per degree; none: not marked
  bool disputed = false;            // there is a mark for the tolerance, and we know of none it surely means
  friend bool operator==(const Marking&, const Marking&) = default;
};

// Why a marking can't be read.
struct MarkingError {
  std::size_t at = 0;    // the band or character, counted from 1; 0: how many there are
  std::string expected;  // what would have done there
};

}  // namespace lugwise
