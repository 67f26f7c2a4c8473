#include "session/inside/word.h"

#include <vector>

#include "source/nearest.h"

namespace lugwise::session::inside {
std::optional<std::string> nearest_word(const std::string& typed) {
  std::vector<std::string> names{"OL", "beep", "no beep", "unstable", "steady", "smooth", "jumps"};
  for (const auto& [name, word] : kPromptWords) {
    if (name.size() > 1) names.emplace_back(name);
  }
  return nearest_name(typed, names);
}

}  // namespace lugwise::session::inside
