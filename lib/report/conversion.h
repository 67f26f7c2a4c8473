// What `convert` says: one workshop number as another.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "component/colour.h"
#include "component/copper.h"
#include "component/marked_resistor.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// Bands, as their value.
struct BandConversion {
  std::vector<Colour> bands;
  MarkedResistor resistor;
  std::optional<Marking> other_end;  // what they say the other way round, where that says something
};

// A value, as bands and letters.
struct ValueConversion {
  std::string typed;
  MarkedResistor resistor;
};

// A coil's resistance, as wire and turns.
struct CoilConversion {
  Ohms ohms = 0;
  double celsius = 0;
  int gauge = 0;
  double turn = 0;  // millimetres
  Diameters family = Diameters::Nominal;
  Winding winding;  // by that family
  Winding other;    // by the other
};

// A resistance at one temperature, as that at another.
struct TemperatureConversion {
  Ohms ohms = 0;
  double from = 0;
  double to = 0;
  Ohms found = 0;
};

// As for other outputs, with no harness and no meter in the heading.
std::string as_text(const BandConversion& conversion, std::size_t columns = page::kColumns);
std::string as_text(const ValueConversion& conversion, std::size_t columns = page::kColumns);
std::string as_text(const CoilConversion& conversion, std::size_t columns = page::kColumns);
std::string as_text(const TemperatureConversion& conversion, std::size_t columns = page::kColumns);
std::string as_markdown(const BandConversion& conversion);
std::string as_markdown(const ValueConversion& conversion);
std::string as_markdown(const CoilConversion& conversion);
std::string as_markdown(const TemperatureConversion& conversion);
std::string as_json(const Heading& heading, const BandConversion& conversion);
std::string as_json(const Heading& heading, const ValueConversion& conversion);
std::string as_json(const Heading& heading, const CoilConversion& conversion);
std::string as_json(const Heading& heading, const TemperatureConversion& conversion);

}  // namespace lugwise
