// Which known name a mistyped one was probably meant to be.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lugwise {

// Edits (insert, delete, replace, swap neighbours) that turn one name into the other; case counts half.
// Never more than `limit` + 1, which also bounds the work.
double edit_distance(std::string_view a, std::string_view b, double limit);

// The candidate that `name` is the beginning of; else the nearest, if near enough to be a likely slip of the fingers; else one
// that `name` begins with. Ties go to the first.
std::optional<std::string> nearest_name(std::string_view name, const std::vector<std::string>& candidates);

}  // namespace lugwise
