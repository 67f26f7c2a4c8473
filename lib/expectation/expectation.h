// What resistance two probes should find in a sound circuit, at least, usually and at most, and what it runs through.
//
// The limits are attained and never exceeded: raising any one resistance never lowers a reading (Rayleigh's
// monotonicity law), so they are the readings of the lowest and the highest circuit. The share at which a wiper divides
// its track is the one value that can move a reading both ways; docs/readings.md says how its limits are found.
// Leads and meter are not in it.
//
// All functions throw NetworkTooDense of the room network.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "circuit/circuit.h"

namespace lugwise {

// How much of the nominal reading one element is.
struct Contribution {
  ElementId element;
  Ohms ohms = 0;  // of the reading: its resistance times its share of the current, squared
  Ohms own = 0;   // its own resistance
  double share =
      0;            // of the reading: how far the reading moves when the element does; all shares add up to 1
  Ohms spread = 0;  // how far the element's own tolerance moves the reading, up or down
};

// What else leaves the reading uncertain: how far each moves it, up or down, in ohms.
struct Spread {
  struct Place {
    PartId control;
    Ohms ohms = 0;
  };
  Ohms temperature = 0;       // one for all coils
  std::vector<Place> places;  // of the wipers in mid-travel, by the knob that moves them
  Ohms module = 0;            // whether a module joins its points or not
};

struct Expected {
  bool open = false;       // no path at all; then nothing below means anything
  bool known = true;       // false: a module, or a wiper in mid-travel of unknown taper, leaves only limits
  bool unlimited = false;  // only a module could join the points: there is no upper limit
  Band ohms;
  std::vector<Contribution> through;  // largest share first
  Spread spread;                      // by the slope at the nominal reading, like that of each contribution
  Ohms in_coils = 0;                  // what the coils add to the nominal reading
  // Where each of the circuit's travels stands at the lowest and at the highest reading found, from 0 to 1.
  std::vector<double> lowest_at, highest_at;
};

// Between two points that are there (Circuit::has).
Expected expect(const Circuit& circuit, PointId a, PointId b);

// In a loom of more branches than this what takes a solution for each of its parts is left undone.
inline constexpr std::size_t kMostBranches = 1000;

// How far each wiper moves the nominal reading from one limit of its place to the other, solved at both: the slope is
// not enough where a reading bends. Of more than kMostBranches the slopes stay.
void follow_wipers(const Circuit& circuit, PointId a, PointId b, Expected& expected);

// Whether so much of it is coils that a change of temperature shows.
bool through_coils(const Expected& expected);

// The nominal reading with all coils at 20 degrees C and all else as it is; none where open.
std::optional<Ohms> nominal_at_20(const Circuit& circuit, PointId a, PointId b);

}  // namespace lugwise
