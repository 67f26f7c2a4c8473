// What a diagnosis found, in words: a reading beside what should be, a suspect's size, what a probe would leave.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "report/inside/json.h"

namespace lugwise::report {
inline namespace inside {

// A reading that weighs less than this (log of the likelihood ratio) says nothing worth a mention.
inline constexpr double kSpeaks = 0.5;

std::string_view verdict_name(Verdict verdict);  // "sound"

// What a sound harness shows when asked as this observation asked.
std::string should_show(const Meter& meter, const Observation& observation, const Comparison& comparison);

// One of the two ends of a sweep as a reading of its own.
Observation end_of(const Observation& sweep, std::size_t end);

// One fault, or two: "the joint of … is open, and the wire … is open".
std::string in_words(const Harness& harness, const Suspect& suspect);

// The same as a sentence begins, with sizes: "The joint of … is high, by about 35 Ω (30 Ω to 41 Ω)".
std::string with_sizes(const Harness& harness, const Suspect& suspect);

// What to do about it: "reflow", or of two faults "reflow; part them".
std::string mend_in_words(const Suspect& suspect);

// Suspects of one group as lines to read. Pairs that pair off any of some faults with any of some others are one line.
struct Line {
  double probability = 0;
  std::string words;
};
std::vector<Line> folded(const Harness& harness, const Suspect* first, const Suspect* last);

// What an outcome leaves: the first few suspects in full, as two may differ only in what is wrong at one place.
std::string what_remains(const Harness& harness, const Diagnosis& diagnosis,
                         const NextProbe::Outcome& outcome);

// The number a reading goes by: its place among the entries of its file, where it is from one.
std::size_t number_of(const std::vector<Observation>& observations, std::size_t observation);

Json json_of(const Harness& harness, const std::vector<Observation>& observations, const Suspect& suspect);

}  // namespace inside
}  // namespace lugwise::report
