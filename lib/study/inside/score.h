// How good was the last answer of a case? Private to this room.
#pragma once

#include <vector>

#include "diagnosis/diagnosis.h"
#include "meter/meter.h"
#include "sheet/observation.h"
#include "study/study.h"

namespace lugwise::study::inside {

// So much of the probability lies at the first suspect's place that no more probes are asked for.
bool settled(const Diagnosis& diagnosis);

// The places that stand, and what finding one of them takes at least.
void take_stock(Case& one, const Diagnosis& diagnosis);

// Holds an answer against what is wrong.
void score(Case& one, const Diagnosis& diagnosis, const std::vector<Observation>& taken, const Meter& meter);

}  // namespace lugwise::study::inside
