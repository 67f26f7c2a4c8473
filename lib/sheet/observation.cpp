#include "sheet/observation.h"

namespace lugwise {

Setting other_end(const Setting& start, PartId swept) {
  Setting end = start;
  end.turn(swept, 10 - start.knob(swept));
  return end;
}

bool at_one_place(const Observation& x, const Observation& y) {
  return std::minmax(x.a, x.b) == std::minmax(y.a, y.b) && x.action == y.action && x.setting == y.setting &&
         x.lifted == y.lifted && x.swept == y.swept && x.wiggled == y.wiggled && x.capacitor == y.capacitor &&
         (x.access.depth > 0) == (y.access.depth > 0);
}

}  // namespace lugwise
