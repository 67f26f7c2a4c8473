// What resistance two probes should find in a sound circuit, at least, usually and at most, and what it runs through.
//
// The limits are attained and never exceeded: raising any one resistance never lowers a reading (Rayleigh's
// monotonicity law), so they are the readings of the lowest and the highest circuit. The share at which a wiper divides
// its track is the one value that can move a reading both ways; docs/readings.md says how its limits are found.
// Leads and meter are not in it.
#pragma once

#include <vector>

#include "circuit/circuit.h"

namespace lugwise {

// How much of the nominal reading one element is.
struct Contribution {
  ElementId element;
  Ohms ohms = 0;  // of the reading: its resistance times its share of the current, squared
  Ohms own = 0;   // its own resistance
  double share =
      0;  // of the reading: how far the reading moves when the element does; all shares add up to 1
};

struct Expected {
  bool open = false;       // no path at all; then nothing below means anything
  bool known = true;       // false: a module, or a wiper in mid-travel of unknown taper, leaves only limits
  bool unlimited = false;  // only a module could join the points: there is no upper limit
  Band ohms;
  std::vector<Contribution> through;  // largest share first
};

// Both points must be there (Circuit::has).
Expected expect(const Circuit& circuit, PointId a, PointId b);

}  // namespace lugwise
