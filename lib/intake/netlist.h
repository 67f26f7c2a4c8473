// The netlist: what a person typed to describe one harness, read and checked.
//
// Every problem of the file is found in one go; what only follows from another problem is not reported.
//
//   Diagnostics diagnostics("fernhollow-2.yaml");
//   const auto netlist = read_netlist(text, diagnostics);
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "harness/harness.h"
#include "meter/meter.h"
#include "source/diagnostic.h"

namespace lugwise {

struct Netlist {
  Harness harness;
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees Celsius
  std::string id;                     // tells this text from another: hexadecimal digits
};

// Nothing where there are errors. Warnings, which only the diagnostics hold, don't stop it.
std::optional<Netlist> read_netlist(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
