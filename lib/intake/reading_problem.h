// Whether a meter could have shown what was typed.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "intake/display.h"
#include "meter/meter.h"

namespace lugwise {

// In a readings file the end of a sweep names its range behind it, a reading has a key for that.
enum class TypedAs { Reading, SweepEnd };

// Why a meter could not have shown this, or nothing: finer than the range shows, above the range, no such range.
// Without a range the meter's whole set of ranges is asked, and whether any could. The ranges are those of capacitance
// where farads are shown, and `range` is in farads then.
struct ReadingProblem {
  enum class Kind { NoSuchRange, TooManyDigits, AboveRange } kind;
  std::string problem;
  std::string hint;
  std::optional<double> fits = {};  // the lowest other range that could have shown it, by its top

  // What to say of that other range in a readings file; else the hint.
  std::string in_file(std::string_view typed, TypedAs as) const;
};
std::optional<ReadingProblem> reading_problem(const Meter& meter, std::optional<double> range,
                                              const Shown& shown, std::string_view typed);

}  // namespace lugwise
