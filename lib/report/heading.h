// What every output begins with: which program looked at which harness, with which meter.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "meter/meter.h"
#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise {

// Who answers, to what. A harness, points, steps and faults that stand beside it belong to the harness it names.
struct Heading {
  std::string output;   // the command, as "plan"; empty where none was understood
  std::string program;  // name and version
  std::string harness_name, harness_file, harness_id;  // empty where not known
  std::vector<ChosenValue> values = {};                // that the netlist is read with
  std::optional<Meter> meter;
  std::optional<double> temperature;  // degrees C; none: not known
  std::vector<Diagnostic> warnings;
};

// What judges readings names the meter it judged for: throws std::logic_error where the heading has none.
void require_meter(const Heading& heading);

// The text of each file a diagnostic may point into, by the name it goes by there.
using Texts = std::map<std::string, std::string>;

// Problems for people: each with its line and a caret, a blank line between two. Of a very long list the first hundred, and
// how many more there are.
std::string problems_as_text(const std::vector<Diagnostic>& problems, const Texts& texts);

// The JSON output of a command that could not do its work.
std::string errors_as_json(const Heading& heading, const std::vector<Diagnostic>& errors);

// What `check` says: the warnings, which are its result. As text each with its line; in JSON as every output has them.
std::string check_as_text(const Heading& heading, const Texts& texts);
std::string check_as_json(const Heading& heading);

}  // namespace lugwise
