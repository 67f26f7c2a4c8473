// What was found on one instrument, in the words that the long report and the one of a page share.
#pragma once

#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "page/document.h"
#include "record/job.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"

namespace lugwise::report {
inline namespace inside {

// "volume.1 and volume.3".
std::string names(const Harness& harness, const std::vector<PointId>& points);

// Where the probes were, and what else was done there.
std::string where_probed(const Harness& harness, const Observation& observation);

// What it read beside what a sound harness shows, and behind it the same of the ends of a sweep.
std::vector<page::Readings::Row> rows_of(const Meter& meter, const Harness& harness,
                                         const Observation& observation, const Comparison& comparison);

// "front silent, with selector front".
std::string in_words(const Harness& harness, const Heard& heard);

// "found before the repair: the contact between selector.f and selector.out is open (90 %)"
std::string found_before(const Harness& harness, const FoundBefore& before);

// Asks for a reading once more: with its range, what a sound harness shows there, a blank, and these boxes where it is not
// watched.
void ask_for(page::Step& step, const Meter& meter, const Observation& seen, const Comparison& comparison,
             std::vector<std::string> boxes);

page::Verdict verdict_of(const Diagnosis& diagnosis);

}  // namespace inside
}  // namespace lugwise::report
