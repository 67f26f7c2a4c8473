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

// Each of these holds what was asked and what was worked out of it by component/; report only says it.

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
  Ohms ohms = 0;       // as measured
  double celsius = 0;  // then
  int gauge = 0;       // AWG
  double turn = 0;     // the mean length of one, millimetres
  Diameters family = Diameters::Nominal;
  Winding winding;  // by that family
  Winding other;    // by the other
};

// A resistance at one temperature, as that at another.
struct TemperatureConversion {
  Ohms ohms = 0;    // at `from`
  double from = 0;  // degrees C
  double to = 0;    // degrees C
  Ohms found = 0;   // at `to`
};

// The answer in words, and as JSON: what was given, and what was found, in ohms, metres, millimetres, degrees C and shares of 1.
// `columns` is the width of the text, 24 at least. The heading names the program and no harness or meter: none is needed, and
// nothing is refused here.
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
