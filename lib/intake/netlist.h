// The netlist: what a person typed to describe one harness, read and checked.
//
// Every problem of the file is found in one go; what only follows from another problem is not reported.
//
//   Diagnostics diagnostics("fernhollow-2.yaml");
//   const auto netlist = read_netlist(text, diagnostics);
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "harness/harness.h"
#include "harness/places.h"
#include "meter/meter.h"
#include "source/diagnostic.h"

namespace lugwise {

struct Netlist {
  Harness harness;
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees Celsius
  std::optional<double> opening;      // seconds to open the cavity
  Places places;                      // on the picture; no part of the harness
  std::string id;                     // tells this text from another: hexadecimal digits
};

// Another netlist, as a file that starts from it names it.
struct OpenedNetlist {
  std::string name;                 // as messages name it; the same file has the same name
  std::optional<std::string> text;  // none: it can't be read
  std::string problem;              // why
};

// What a netlist needs that does not stand in it. This library opens no file: whoever calls it does.
struct NetlistSources {
  // The netlist that `from:` names in the file `by`; without it `from:` is refused.
  std::function<OpenedNetlist(const std::string& named, const std::string& by)> open;
  // Values given instead of the file's own, by name.
  std::vector<std::pair<std::string, std::string>> values;
};

// Nothing where there are errors. Warnings, which only the diagnostics hold, don't stop it.
std::optional<Netlist> read_netlist(std::string_view text, Diagnostics& diagnostics,
                                    const NetlistSources& sources = {});

}  // namespace lugwise
