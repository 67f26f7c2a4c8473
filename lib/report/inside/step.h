// A step of a plan in words: what is done, what stands on the display, what each outcome means.
#pragma once

#include <string>
#include <vector>

#include "harness/harness.h"
#include "meter/meter.h"
#include "page/document.h"
#include "plan/plan.h"

namespace lugwise::report {
inline namespace inside {

// Names in one list of a step; the JSON output has them all.
inline constexpr std::size_t kNames = 8;

// The faults of a plan by their numbers.
std::vector<Fault> faults_among(const Plan& plan, const std::vector<std::size_t>& numbers);

// Whether both hands are needed elsewhere: to prepare something, to lift a lead or put it back.
bool without_probes(const Step& step);

// "20k"; "200n" where it is a range of capacitance.
std::string range_of(const Step& step);

// What stands on the display of a sound harness: "6.71k (6.04k to 7.36k)", "steady at 0.3 (0.1 to 0.9)".
std::string display_in_words(const Meter& meter, const Step& step);

// What is done at a step that is watched, "Turn volume slowly from 10 to 0 and watch."; nothing for a reading.
std::string motion_in_words(const Harness& harness, const Step& step);

// What to mind, a line each; of a resistor by itself also its bands.
std::vector<std::string> notes_of(const Harness& harness, const Step& step);

// The whole step in one sentence.
std::string step_in_words(const Meter& meter, const Harness& harness, const Step& step);

// What each display means: "right" proves, "lower" points to. Of a plan's step, where no earlier step showed it; `most` names
// at most in one list.
std::vector<page::Labelled> signs_in_words(const Harness& harness, const Plan& plan, const Step& step,
                                           std::size_t most = kNames);

}  // namespace inside
}  // namespace lugwise::report
