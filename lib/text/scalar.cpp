#include "text/scalar.h"

#include <cctype>

#include "text/character.h"
#include "text/safe.h"

namespace lugwise::text {

std::string as_scalar(std::string_view written) {
  const auto letter = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; };
  bool bare = !written.empty() && letter(written.front()) && written.back() != ' ';
  for (std::size_t i = 0; i < written.size() && bare; ++i) {
    bare = letter(written[i]) || std::string_view(" ._>/-").find(written[i]) != std::string_view::npos;
  }
  if (bare) return std::string(written);
  std::string quoted = "\"";
  for (std::string_view rest = written; !rest.empty();) {
    const std::string_view one = rest.substr(0, character_length(rest));
    rest.remove_prefix(one.size());
    if (is_unseen(character_at(one))) continue;  // no file of ours takes those
    if (one == "\"" || one == "\\") quoted += '\\';
    quoted += one;
  }
  return quoted + "\"";
}

}  // namespace lugwise::text
