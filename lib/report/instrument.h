// What `diagnose --html=page` says: one instrument on one sheet of paper, to be signed, for its owner or the file.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "drawing/drawing.h"
#include "harness/harness.h"
#include "report/diagnosis.h"
#include "report/heading.h"
#include "sheet/observation.h"
#include "sheet/unit.h"

namespace lugwise {

// Whose record it is, beside what was read.
struct Owned {
  Unit unit;
  std::optional<std::size_t> stage;  // of the harness; none: all parts are there
};

// The verdict and how far it goes, what is suspected, the picture with that marked, the readings it rests on, what was done
// and what the re-check showed or has to show. What does not fit is counted, and the long form has it: see as_html() in
// report/diagnosis.h. Throws std::logic_error where the heading has no meter.
std::string as_instrument_page(const Heading& heading, const Harness& harness,
                               const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                               const Filed& filed, const Owned& owned, const Places& places = {});

}  // namespace lugwise
