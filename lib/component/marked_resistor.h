// All the ways to say a resistor's value: bands, letters, and the preferred values it is near to.
//
//   marked_resistor({4700, 0.05, {}}).letters;   // "4K7J"
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "component/colour.h"
#include "component/marking.h"
#include "component/ohms.h"
#include "component/preferred.h"

namespace lugwise {

struct MarkedResistor {
  Marking marking;
  std::optional<Band> allowed;         // what the tolerance lets it have; none without one
  std::optional<std::string> letters;  // none: no code says it

  // With two digits, and with three; none: no bands say it. Without a tolerance the bands end before it, and 20 %
  // has none.
  std::optional<std::vector<Colour>> four_bands, five_bands;

  // The nearest of each series, coarsest first; empty where the value is outside all of them.
  std::vector<Preferred> preferred;
};

// A temperature coefficient is kept in the marking, but not written in the bands.
MarkedResistor marked_resistor(const Marking& marking);

}  // namespace lugwise
