// What a readings file holds, as the long report lists it: readings beside what a sound harness shows, what else was noted, what
// was heard, and what is to be read again after a repair.
#pragma once

#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "page/document.h"
#include "report/diagnosis.h"
#include "report/inside/sketch.h"

namespace lugwise::report {
inline namespace inside {

// An entry that was not weighed, by its place in the file, from 1.
page::Readings::Reading recorded(const Harness& harness, const Entry& entry, std::size_t place);

// All entries in the order of the file.
page::Section readings_of(const Meter& meter, const Harness& harness,
                          const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                          const Filed& filed);

page::Section heard_of(const Harness& harness, const std::vector<Heard>& heard);

// What a repair has to put right: the readings that were wrong, to be taken again. None where none were.
std::optional<page::Section> recheck_of(const Meter& meter, const Harness& harness,
                                        const std::vector<Observation>& observations,
                                        const Diagnosis& diagnosis, Sketchbook& pictures);

}  // namespace inside
}  // namespace lugwise::report
