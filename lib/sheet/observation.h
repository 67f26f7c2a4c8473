// What was done and seen once, with everything it needs to be judged.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "circuit/setting.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "sheet/sheet.h"

namespace lugwise {

// A reading with everything it needs to be judged: where, in which setting, how far open.
struct Observation {
  Action action = Action::Read;
  PointId a, b;
  std::optional<ElementId>
      capacitor;  // taken on a capacitance range: what is below in ohms is in farads then
  Setting setting;
  Access access;  // what was open when it was taken
  std::vector<PointId> lifted;
  std::optional<PartId> swept;
  std::vector<Display> ends;  // Sweep: none, or what stood there at its two ends, the one of `setting` first
  std::vector<PointId> wiggled;
  Shows shows = Shows::Value;
  double value = 0;
  double resolution = 0;
  std::optional<Range> range;  // none: not known
  std::string text;
  std::optional<int> step;
  std::size_t place = 0;             // in the readings file, from 1; 0: it is in none
  std::vector<Display> before = {};  // what stood there earlier and is put aside for this, the first first
};

// Whether two readings were taken at one place: between the same points, with all else alike but the range.
bool at_one_place(const Observation& x, const Observation& y);

// Whether two readings may have been taken on one range: they are of the same, or it isn't known of one.
bool same_range(const Observation& x, const Observation& y);

// What conducts while it is taken: its setting, the leads that are off, and the cavity as open as it was.
State state_of(const Observation& reading, std::optional<std::size_t> stage, Temperature temperature);

// Seconds to take a reading from where the hands are, its sweep or wiggle with it; the hands are then there. The instrument
// stays open, and the meter on its range where the reading names none.
double seconds_to_take(const Harness& harness, const Costs& costs, Hands& hands, const Observation& reading);

// Where the controls stand at the other end of a sweep: the knob at the other stop.
Setting other_end(const Setting& start, PartId swept);

}  // namespace lugwise
