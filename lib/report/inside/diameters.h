// The two families of wire diameters, as text and JSON call them.
#pragma once

#include <string_view>

#include "component/copper.h"

namespace lugwise::report {
inline namespace inside {

// "formula", "nominal".
constexpr std::string_view family_name(Diameters family) {
  return family == Diameters::Formula ? "formula" : "nominal";
}

constexpr Diameters other_than(Diameters family) {
  return family == Diameters::Formula ? Diameters::Nominal : Diameters::Formula;
}

}  // namespace inside
}  // namespace lugwise::report
