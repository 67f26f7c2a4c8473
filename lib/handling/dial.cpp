#include "handling/dial.h"

#include <limits>

namespace lugwise {

const Range& range_to_take(const Meter& meter, const Expected& expected, int plugs) {
  const bool endless = expected.open || expected.unlimited;
  return range_for(meter, endless ? std::numeric_limits<double>::infinity() : expected.ohms.high, plugs);
}

}  // namespace lugwise
