// What the trade also calls the things that a file has one name for.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lugwise::intake::inside {

// The candidate that an unknown name was probably meant to be: another word for it, its beginning, or a slip of the fingers. Quotes of a
// word processor count for nothing.
std::optional<std::string> meant_name(std::string_view name, const std::vector<std::string>& candidates);

}  // namespace lugwise::intake::inside
