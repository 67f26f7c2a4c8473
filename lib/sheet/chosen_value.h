// A value chosen for a name under a netlist's `values`, instead of the one that stands there.
#pragma once

#include <string>

#include "source/span.h"

namespace lugwise {

struct ChosenValue {
  std::string name;
  std::string text;       // as typed
  Span at = {};           // where a file says so
  std::string file = {};  // which one; empty: the command line

  // Wherever they are said.
  friend bool operator==(const ChosenValue& x, const ChosenValue& y) {
    return x.name == y.name && x.text == y.text;
  }
};

}  // namespace lugwise
