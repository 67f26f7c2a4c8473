// In which order do names stand for people? Numbers in them by their size: "FH-2" before "FH-10", "1.2.yaml" before "1.10.yaml".
#pragma once

#include <string_view>

namespace lugwise::text {

// Whether one stands before the other: by the text between their numbers (digits 0 to 9, with no sign, of any length) and by
// the numbers' sizes; "07" before "7" where nothing else tells them apart. A strict order: of two different names one comes
// first.
bool stands_before(std::string_view one, std::string_view other);

}  // namespace lugwise::text
