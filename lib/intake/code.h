// The lasting codes of what can be wrong with a netlist, a readings file or a meter file.
//
// A message may get better words; its code stays, and no code is used again for something else. docs/errors.md shows each.
#pragma once

#include <string_view>
#include <vector>

namespace lugwise {

struct Code {
  std::string_view
      code;  // "N204": N for netlists and for what all files share, R for readings, M for meters, E for exercises, K for pickups
  std::string_view title;  // "no such point"
};

// In the order of the codes.
const std::vector<Code>& intake_codes();

}  // namespace lugwise
