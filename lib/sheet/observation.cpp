#include "sheet/observation.h"

namespace lugwise {

Setting other_end(const Setting& start, PartId swept) {
  Setting end = start;
  end.turn(swept, 10 - start.knob(swept));
  return end;
}

}  // namespace lugwise
