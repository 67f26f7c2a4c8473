// Files as text.
#pragma once

#include <string>

namespace lugwise::app {

// Throws BadInput where it can't be read. Of an endless one only as much as shows that it is too large for a reader. A pipe
// that nobody writes to is waited for two seconds.
std::string read_file(const std::string& path);

// What a path leads to, in words: "a file", "a folder", "a pipe", "a device", "a link that leads nowhere"; empty: nothing
// is there.
std::string kind_of(const std::string& path);

// Why a file could not be written there, as far as can be told before it is tried; empty: it probably can.
std::string why_unwritable(const std::string& path);

// Writes beside it, in its mode from the first byte on, and then takes its place, on the disk when this returns: there is
// never half a file, and no signal that can be heeded leaves one beside it. Throws BadInput where it can't be written;
// what was there before is then as it was. A pipe or a terminal is written to as it is; refused are a disk, a pipe that
// nobody reads from, and a file that has other names too, as those would keep what was.
void write_file(const std::string& path, const std::string& text);

}  // namespace lugwise::app
