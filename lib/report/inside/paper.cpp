#include "report/inside/paper.h"

#include <algorithm>
#include <cmath>

#include "text/character.h"

namespace lugwise::report {
inline namespace inside {

std::string cut(std::string_view text, std::size_t most) {
  if (lugwise::text::length(text) <= most) return std::string(text);
  return std::string(lugwise::text::first_characters(text, most - 1)) + "…";
}

double lines_of(std::string_view text, double characters) {
  return std::max(1.0, std::ceil(static_cast<double>(lugwise::text::length(text)) / characters));
}

double paragraph(std::string_view text) { return 1.1 * lines_of(text, 120); }
double item(std::string_view text) { return 1.25 * lines_of(text, 92); }

}  // namespace inside
}  // namespace lugwise::report
