// The codes of everything `check` can say, for documents and tests to agree on.
#pragma once

#include <string_view>
#include <vector>

namespace lugwise {

struct WarningKind {
  std::string_view code;   // lasting: "W104"
  std::string_view title;  // what it is about, in a few words
};

// Every warning there is, rising by code; docs/warnings.md has a sample of each.
const std::vector<WarningKind>& warning_kinds();

}  // namespace lugwise
