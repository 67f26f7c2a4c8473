// A short mark that tells one text from another: twelve hexadecimal digits, the same everywhere and always.
//
// Not proof against someone who wants two texts to have the same one.
#pragma once

#include <string>
#include <string_view>

namespace lugwise {

std::string fingerprint(std::string_view text);

}  // namespace lugwise
