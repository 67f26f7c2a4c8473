// The least and the most that may be read along a way, wherever its wipers stand. Private to this room.
#pragma once

#include <vector>

#include "expectation/inside/passage.h"

namespace lugwise::expectation::inside {

// A reading, and the places of the way's travels where it was found.
struct Limit {
  Ohms ohms = 0;
  std::vector<double> travel;
};

// docs/readings.md says why these are limits. They throw NetworkTooDense.
Limit least(const Way& way, Modules modules);
Limit most(const Way& way);

// Whether the place of a wiper whose taper nobody gave moves the reading by more than a share of it.
bool taper_matters(const Way& way, double share);

}  // namespace lugwise::expectation::inside
