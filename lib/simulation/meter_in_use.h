// One meter as it lies on the bench: what its display shows, with its own errors within its accuracy.
#pragma once

#include <optional>
#include <vector>

#include "meter/meter.h"
#include "sheet/observation.h"
#include "simulation/dice.h"

namespace lugwise {

class MeterInUse {
 public:
  // Draws what its leads have, and by how much each range is off.
  MeterInUse(const Meter& meter, Dice& dice);

  // What stands on the display, of so many ohms between the tips (none: open) and with this many of the two on the far
  // plug; into the observation. A meter with ranges to choose from is on `range`. `scale` is how far the decimal point is
  // misread. Draws the error in digits.
  void show(std::optional<Ohms> ohms, int plugs, const Range& range, Dice& dice, Observation& seen,
            double scale = 1) const;

  // The same on a capacitance range, of so many farads (none: too many, as a short is).
  void show_farads(std::optional<double> farads, const Range& range, Dice& dice, Observation& seen) const;

  const Meter& meter() const { return meter_; }

 private:
  Meter meter_;
  Ohms leads_ = 0;
  std::vector<double> gains_;              // by range
  std::vector<double> capacitance_gains_;  // the same of those in farads
};

}  // namespace lugwise
