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
#include <vector>

#include "harness/harness.h"
#include "harness/places.h"
#include "meter/meter.h"
#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise {

struct Netlist {
  Harness harness;
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees Celsius
  std::optional<double> opening;      // seconds to open the cavity
  Places places;                      // on the picture; no part of the harness
  std::vector<ChosenValue> values;    // given instead of its own: each name once, by name
  std::string id;                     // tells this text and these values from others: hexadecimal digits
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
  // Values given instead of the file's own; of one name the last counts.
  std::vector<ChosenValue> values;
};

// Nothing where there are errors. Warnings, which only the diagnostics hold, don't stop it.
std::optional<Netlist> read_netlist(std::string_view text, Diagnostics& diagnostics,
                                    const NetlistSources& sources = {});

// A netlist that says by itself what this one says with those it starts from; its own text where it starts from none. What
// has a name under `values` keeps it, and remarks are left out. For a text that read_netlist() takes: else nothing.
std::optional<std::string> in_one_text(std::string_view text, const std::string& file,
                                       const NetlistSources& sources);

}  // namespace lugwise
