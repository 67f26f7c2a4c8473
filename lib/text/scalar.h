// A text as YAML holds it.
#pragma once

#include <string>
#include <string_view>

namespace lugwise::text {

// In a list or map: bare where nothing in it could mean something else, else in double quotes. What can't be seen is left out,
// as no file of ours takes it.
std::string as_scalar(std::string_view written);

}  // namespace lugwise::text
