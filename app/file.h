// Files as text.
#pragma once

#include <string>

namespace lugwise::app {

// Throws BadInput where it can't be read. Of an endless one only as much as shows that it is too large for a reader.
std::string read_file(const std::string& path);

// What a path leads to, in words: "a file", "a folder", "a pipe", "a device", "a link that leads nowhere"; empty: nothing
// is there.
std::string kind_of(const std::string& path);

// Writes beside it and then takes its place, so that there is never half a file. Throws BadInput where it can't be
// written; what was there before is then as it was. A pipe or a terminal is written to as it is; a disk is refused.
void write_file(const std::string& path, const std::string& text);

}  // namespace lugwise::app
