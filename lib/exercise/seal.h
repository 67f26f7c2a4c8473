// What is wrong with an exercise's instrument, sealed, so that the file a student works with shows the instrument's readings
// and not its fault.
//
// A seal, not a safe: it is as long whatever is in it and nothing in it can be read, searched or guessed from, but who takes
// this program apart can open it as the program does. What is marked in earnest is marked from papers.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "exercise/exercise.h"
#include "fault/fault.h"
#include "harness/harness.h"

namespace lugwise {

struct Sealed {
  struct Ill {
    std::string fault;  // its id, seven letters
    double size = 0;
    bool comes_and_goes = false;
  };
  std::uint64_t seed = 0;  // of the instrument and the meter
  std::vector<Ill> ills;   // two at most
};

// Hexadecimal digits, always as many. `salt` is what makes two seals of one fault differ: never the same twice. Throws
// std::logic_error for more than two faults, and for an id that has not seven letters.
std::string sealed(const Sealed& content, std::uint64_t salt);

// The seal of an exercise; `faults` are its maker's.
std::string seal_of(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise);

// None where it is no seal, or was changed.
std::optional<Sealed> opened(std::string_view seal);

}  // namespace lugwise
