// The key of an exercise, and the rule its answers are marked by: their files, read and checked.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sheet/chosen_value.h"
#include "source/diagnostic.h"

namespace lugwise {

struct KeySheet {
  std::string number;  // of the exercise, "03"
  std::string seal;    // of its file; empty in keys that don't say it
  int level = 1;
  std::string stage;         // empty: all parts are there
  std::string harness_file;  // beside the key
  std::string harness_id;
  std::vector<ChosenValue> values;  // that the netlist is read with
  struct Group {
    std::vector<std::string> ids;  // of the faults that can't be told apart
    Span at;
  };
  std::vector<Group> groups;
  double seconds = 0;             // that the hands need on its path
  std::vector<std::string> path;  // and what is taken there, in words
};

// Nothing where there are errors; all of them are then in the diagnostics.
std::optional<KeySheet> read_key(std::string_view text, Diagnostics& diagnostics);

// Points; a rule that isn't given is the usual one.
struct RuleSheet {
  std::optional<double> place, probes, hands, wrong;
};
std::optional<RuleSheet> read_rule(std::string_view text, Diagnostics& diagnostics);

}  // namespace lugwise
