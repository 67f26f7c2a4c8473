// Figures times a power of ten, rounded once: powers of ten below one have no exact double, so those divide.
#pragma once

#include <cmath>

namespace lugwise::component::inside {

inline double scaled(double figures, int power) {
  return power < 0 ? figures / std::pow(10, -power) : figures * std::pow(10, power);
}

}  // namespace lugwise::component::inside
