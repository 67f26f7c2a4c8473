// Whether what was typed could have stood on the meter where it was taken: the one judge of readings files, of the lines of
// a session and of a single reading.
//
//   const JudgedReading read = judge("6.71k", {Action::Read, false, 20'000}, meter);
//   if (read.wrong) ...  // TooManyDigits, AboveRange, ...
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "intake/display.h"
#include "intake/reading_problem.h"
#include "meter/meter.h"
#include "sheet/sheet.h"

namespace lugwise {

// What was asked for.
struct Asked {
  std::optional<Action> action = Action::Read;  // none: a step says which, and it isn't known here
  std::optional<bool> farads = false;           // none: whichever it is typed in
  std::optional<double> range;                  // by its top; none: whichever of the meter's
  bool on_meter = true;  // off: of which meter or range it is isn't known, and only the words are judged
};

struct Misread {
  enum class Kind {
    NoReading,         // these words are none
    NotOfSweep,        // a sweep reads smooth or jumps
    NotOfWiggle,       // a wiggle reads steady or unstable
    SweepWord,         // smooth and jumps are what a sweep reads, and this is none
    WiggleWord,        // steady is what a wiggle reads
    NotOfCapacitance,  // a capacitance range shows a value or OL
    NotOfEnd,          // the end of a sweep is a value or OL, in ohms
    NotOfTips,         // with the tips together a meter shows ohms
    OtherUnit,         // farads for ohms, or ohms for farads
    NoSuchRange,
    TooManyDigits,
    AboveRange,
  };
  Kind kind = Kind::NoReading;
  std::string problem;                     // one sentence
  std::string hint;                        // what was probably meant, or empty
  std::optional<ReadingProblem> on_range;  // of the last three where the meter's ranges were asked

  // Problem and hint in one sentence.
  std::string why() const { return hint.empty() ? problem : problem + "; " + hint; }

  // What to say of another range in a readings file; else the hint.
  std::string in_file(std::string_view typed, TypedAs as) const;
};

// What was read, and why it could not have been. `shown` means nothing where `wrong` is NoReading.
struct JudgedReading {
  Shown shown;
  std::optional<Misread> wrong;
};
JudgedReading judge(std::string_view typed, const Asked& asked, const Meter& meter);

// One end of a sweep on the range of that sweep, or on one of its own: "0.3 on 200".
struct JudgedEnd {
  Display display;
  std::optional<Misread> wrong;
};
JudgedEnd judge_end(std::string_view typed, const Asked& asked, const Meter& meter);

// What the meter shows with the tips together: on its lowest range where it doesn't choose. `Words`: of which meter it is
// isn't known.
enum class TipsOn { Meter, Words };
JudgedReading judge_tips(std::string_view typed, const Meter& meter, TipsOn on = TipsOn::Meter);

}  // namespace lugwise
