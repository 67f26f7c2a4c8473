// The 'plan' of a readings file, and of a batch.
#pragma once

#include "intake/inside/tree.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"
#include "source/span.h"

namespace lugwise::intake::inside {

// A batch's may be of no repair and take no lead off.
enum class PlanOf { Readings, Batch };

// `at` is its key. What is wrong goes to the diagnostics; whether the netlist has such a stage is not asked, the node of that
// name is handed back where it is given.
struct PlanRead {
  PlanReference plan;
  const Node* stage = nullptr;
};
PlanRead read_plan(const Node& node, Span at, PlanOf of, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
