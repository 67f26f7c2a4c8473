// The suspects of a diagnosis by groups, as the long report lists them, with what speaks for each group.
#pragma once

#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "page/document.h"
#include "report/inside/sketch.h"

namespace lugwise::report {
inline namespace inside {

// Likely groups get a picture; what is very unlikely is counted.
page::Section suspects_of(const Harness& harness, const std::vector<Observation>& observations,
                          const Diagnosis& diagnosis, Sketchbook& pictures);

}  // namespace inside
}  // namespace lugwise::report
