#include "drawing/inside/trade_name.h"

#include <algorithm>
#include <cctype>
#include <string>

namespace lugwise::drawing::inside {

bool says(std::string_view name, std::initializer_list<std::string_view> words) {
  std::string low;
  for (const char c : name) low += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return low.find(word) != std::string::npos; });
}

int rank_of(std::string_view name) {
  if (says(name, {"neck", "front"})) return 0;
  if (says(name, {"middle", "centre", "center"})) return 1;
  if (says(name, {"bridge", "rear", "back"})) return 2;
  return 1;
}

bool at_the_bridge(const Harness& harness, const Part& part) {
  if (part.kind != PartKind::Metal) return false;
  const auto named = [&](std::string_view name) {
    return says(name, {"bridge", "string", "claw", "spring", "tail", "hardware"});
  };
  return named(part.name) || std::any_of(part.points.begin(), part.points.end(), [&](PointId point) {
           const std::string& name = harness[point].name;
           return named(std::string_view(name).substr(name.find('.') + 1));
         });
}

bool stands_in(const Part& part) {
  return part.kind == PartKind::Resistor &&
         says(part.name, {"neck", "front", "middle", "centre", "center", "bridge", "rear", "pickup"});
}

}  // namespace lugwise::drawing::inside
