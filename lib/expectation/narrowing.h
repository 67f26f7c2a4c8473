// Which part, measured alone, would narrow a reading's limits most?
//
// Each part on the way is put at its nominal in turn, and the reading expected anew. A part is an element that can be
// measured alone, or some that can only be measured together.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"

namespace lugwise {

struct Narrowing {
  std::vector<ElementId> part;
  Expected expected;  // the same reading once that part is known to have its nominal value
};

// The circuit with these elements known exactly; in mid-travel a track's halves still share it as they may.
Circuit with_known(const Circuit& circuit, const std::vector<ElementId>& elements);

// The best of these parts to measure. None where the limits are no more than `resolves` ohms apart, where no part brings
// them that much closer, where the reading is all but one part and so measures it already, where there is no upper
// limit, and of more than kMostBranches branches. Throws NetworkTooDense.
std::optional<Narrowing> best_to_measure(const Circuit& circuit, PointId a, PointId b,
                                         const Expected& expected,
                                         const std::vector<std::vector<ElementId>>& parts, Ohms resolves);

}  // namespace lugwise
