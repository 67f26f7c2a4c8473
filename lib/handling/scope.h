// What a checklist sets out to show, and where it reads for that: what the readings of an instrument are held against
// before it is called sound.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "circuit/setting.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"

namespace lugwise {

struct Scope {
  // A step of the checklist that has the probes somewhere.
  struct Reading {
    int step = 0;  // its number there
    Access access;
    Setting setting;
    PointId a, b;
    std::vector<PointId> lifted;
    std::optional<PartId> swept;   // a sweep of that knob, from where `setting` has it
    std::vector<PointId> wiggled;  // a wiggle: what is pressed and moved
    bool farads = false;           // on a capacitance range
    Expected expected;
    Range range;
    Window shows;
    std::vector<std::size_t> proves;  // of `faults`: those that it would show
  };

  // Cold joints and dirty contacts, which are not all looked for: from how many ohms on one shows.
  struct Cold {
    Ohms half = 0;  // at half of the places
    Ohms all = 0;   // at every place where one shows at all
  };

  std::vector<Fault> faults;  // each that some reading shows
  std::vector<double>
      sizes;  // by fault: from so many added ohms on a High is shown, by which factor a Value; else 0
  std::vector<Reading> readings;  // in their order
  std::optional<Cold> cold;       // none: no such place is read
};

}  // namespace lugwise
