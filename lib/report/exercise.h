// What an exercise looks like: the sheet a student gets, the key an instructor keeps, the marks of a class.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "drawing/drawing.h"
#include "exercise/exercise.h"
#include "exercise/mark.h"
#include "fault/fault.h"
#include "fault/naming.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// The sheet. Nothing in it, and nothing of its size or order, follows from the answer but what the complaint and the readings
// tell. `options` are those it was made with.
std::string sheet_as_markdown(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                              const Exercise& exercise);
std::string sheet_as_html(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                          const Exercise& exercise, const Places& places);

// The key: YAML, with every fault in the JSON form; and the same for people. `seal` is that of the exercise's file, by which an
// answer is known to be to this one.
std::string key_as_yaml(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                        const ExerciseOptions& options, const Exercise& exercise, const std::string& seal);
std::string key_as_markdown(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                            const ExerciseOptions& options, const Exercise& exercise);

// The final question as an item of QTI 2.1 (1EdTech's open standard): what is wrong, of several faults one. It holds the right
// answer, as such items do, so it belongs with the key.
std::string as_qti(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise);

// What `exercise make` answers in JSON.
std::string made_as_json(const Heading& heading, const std::string& folder, const std::string& keys,
                         std::size_t count);

// One student's marks for one exercise.
struct Marked {
  std::string by, exercise, file;
  Attempt attempt;
  std::vector<std::optional<FaultRefusal>>
      refused;  // why a claim names no fault; beside each of the attempt's
  Grade mark;
  std::vector<std::vector<std::string>> right;  // the right answers in words, by group
  std::vector<std::string> probes;              // each probe in words
};

// Each student beside the exercises; a student's mean is of those handed in.
struct ClassMarks {
  MarkRule rule;
  std::vector<Marked> marked;
};

std::string as_text(const Heading& heading, const ClassMarks& marks, std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const ClassMarks& marks);
std::string as_html(const Heading& heading, const ClassMarks& marks);
std::string as_json(const Heading& heading, const ClassMarks& marks);
std::string as_csv(const ClassMarks& marks);

// "selector front: jack.plug-tip and jack.plug-sleeve", with what is lifted, swept or wiggled.
// What stood on the display, of a sweep what stood at its two stops too: "smooth, 6.71k to 0.3k".
std::string display_in_words(const Observation& seen);

std::string probe_in_words(const Harness& harness, const Observation& seen);

}  // namespace lugwise
