// What `exercise work` says to the student at an exercise's instrument.
#pragma once

#include <string>

#include "exercise/practice.h"
#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"
#include "sheet/exercise_note.h"

namespace lugwise {

// What an exercise is, to the student at it.
struct PracticeSheet {
  const Harness& harness;
  const std::vector<Fault>& faults;
  const ExerciseNote& exercise;
  const std::vector<Heard>& heard;        // what the player says
  const std::vector<Observation>& given;  // the readings that stand on its sheet
};

// What stands before the first line: which exercise, what the player says, the readings that stand on its sheet, how to
// go on.
std::string practice_opening(const PracticeSheet& sheet, std::size_t columns = page::kColumns);

std::string practice_help(std::size_t columns = page::kColumns);

// What became of a line. After a reading the display stands alone on its line, as a meter shows it.
std::string as_text(const Harness& harness, const std::vector<Fault>& faults, const Practice& practice,
                    const PracticeReply& reply, std::size_t columns = page::kColumns);

// The same for a program, one object a line: what became of a line, or with no reply what stands before the first. `log` is
// the file that keeps it.
std::string as_json(const Heading& heading, const PracticeSheet& sheet, const Practice& practice,
                    const PracticeReply* reply, const std::string& log);

}  // namespace lugwise
