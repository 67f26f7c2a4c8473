// A netlist that starts from another: the tree of both together, parts added, changed and taken off. Private to this room.
#pragma once

#include <optional>
#include <string>

#include "intake/inside/tree.h"
#include "intake/netlist.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

// The tree of `text` with that of the file it starts from, and of the one that starts from, parts added, changed and taken off.
// Every node says which file it is from. `read` is all text that went into it. Nothing where there is no tree.
std::optional<Node> whole_tree(std::string_view text, const NetlistSources& sources, Diagnostics& diagnostics,
                               std::string& read);

}  // namespace lugwise::intake::inside
