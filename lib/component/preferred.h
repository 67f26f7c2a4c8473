// Preferred numbers: the values resistors and capacitors are made in, IEC 60063.
//
//   const auto near = nearest_preferred(Series::E24, 8010);     // 8200, off by -2.3 %
//
// Pots follow 1-2-5 or 1-2.5-5 instead: 250k and 500k are in no series here.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "component/ohms.h"

namespace lugwise {

enum class Series { E3, E6, E12, E24, E48, E96, E192 };

inline constexpr std::array kAllSeries = {Series::E3,  Series::E6,  Series::E12, Series::E24,
                                          Series::E48, Series::E96, Series::E192};

// The values of one decade, rising, as hundreds: 100, 220, 470.
const std::vector<int>& decade_of(Series series);

// "E24".
std::string_view series_name(Series series);

// The tolerance a series is commonly made in, as a share: E6 20 % to E96 1 %, E192 0.5 % from memory. E3 has
// none.
std::optional<double> usual_tolerance(Series series);

struct Preferred {
  Series series = Series::E24;
  Ohms ohms = 0;
  double off = 0;  // how far the measured value is above it, as a share of it

  // Whether a part of that value in its series' usual tolerance may be what was measured; E3 never.
  bool fits() const;
};

// The preferred value that a measured one is off by the smallest share; the lower of two. Only values from a
// thousandth of an ohm to 10^12 ohms have one.
std::optional<Preferred> nearest_preferred(Series series, Ohms measured);

}  // namespace lugwise
