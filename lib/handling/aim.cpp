#include "handling/aim.h"

namespace lugwise {

std::string_view depth_name(Depth depth) { return depth == Depth::Outside ? "outside" : "full"; }

std::string_view aim_name(Aim aim) {
  static constexpr std::string_view kNames[] = {"usual", "thorough", "quick"};
  return kNames[static_cast<int>(aim)];
}

std::optional<Depth> find_depth(std::string_view name) {
  for (const Depth depth : {Depth::Outside, Depth::Full}) {
    if (depth_name(depth) == name) return depth;
  }
  return std::nullopt;
}

std::optional<Aim> find_aim(std::string_view name) {
  for (const Aim aim : {Aim::Usual, Aim::Thorough, Aim::Quick}) {
    if (aim_name(aim) == name) return aim;
  }
  return std::nullopt;
}

}  // namespace lugwise
