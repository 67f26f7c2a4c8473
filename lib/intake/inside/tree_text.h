// A tree written as YAML, which parse_tree() reads as the same tree. Private to this room.
#pragma once

#include <string>

#include "intake/inside/tree.h"

namespace lugwise::intake::inside {

// What holds lists or maps takes a line for each entry, two levels deep; all else is in brackets.
std::string tree_text(const Node& root);

}  // namespace lugwise::intake::inside
