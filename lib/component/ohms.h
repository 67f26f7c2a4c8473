// Resistances as parts and harnesses state them: a nominal value and the least and most a sound part may have.
#pragma once

#include <limits>

namespace lugwise {

using Ohms = double;

// No way at all, in a table of ohms. Answers say it by their type.
inline constexpr Ohms kOpen = std::numeric_limits<Ohms>::infinity();

struct Band {
  Ohms low = 0;
  Ohms nominal = 0;
  Ohms high = 0;
  friend bool operator==(const Band&, const Band&) = default;
};

// Nominal give or take a share of it: around(8000, 0.1) is 7200 to 8800.
constexpr Band around(Ohms nominal, double tolerance) {
  return {nominal * (1 - tolerance), nominal, nominal * (1 + tolerance)};
}

}  // namespace lugwise
