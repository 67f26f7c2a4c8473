// The contents of a file as text.
#pragma once

#include <string>

namespace lugwise::app {

// Throws BadInput where it can't be read. Of an endless one only as much as shows that it is too large for a reader.
std::string read_file(const std::string& path);

}  // namespace lugwise::app
