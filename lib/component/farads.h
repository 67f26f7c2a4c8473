// Capacitances as capacitors state them: a nominal value and the least and most a sound one may have.
#pragma once

namespace lugwise {

using Farads = double;

struct Capacitance {
  Farads low = 0;
  Farads nominal = 0;
  Farads high = 0;
};

}  // namespace lugwise
