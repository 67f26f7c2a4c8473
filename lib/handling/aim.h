// What is asked of a plan: how far it may open the instrument, and how much it sets out to show.
#pragma once

#include <optional>
#include <string_view>

namespace lugwise {

// Outside: what the plug and the metal outside show, nothing opened.
enum class Depth { Outside, Full };

// Usual: every open, short and worn track. Thorough: cold joints, dirty contacts, wrong values and misplaced leads too. Quick:
// most of what the usual plan shows, in much less time.
enum class Aim { Usual, Thorough, Quick };

std::string_view depth_name(Depth);  // "outside", "full"
std::string_view aim_name(Aim);      // "usual", "thorough", "quick"

// By that name; none: no such.
std::optional<Depth> find_depth(std::string_view name);
std::optional<Aim> find_aim(std::string_view name);

}  // namespace lugwise
