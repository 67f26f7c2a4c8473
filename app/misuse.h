// What is wrong with a command line, said so that it can be put right: what is missing, the nearest name.
#pragma once

#include <string>
#include <vector>

#include "parser.h"

namespace lugwise::app {

// Of a parse that ended misused, and the words it was of. Lines after the first are indented.
std::string explain(const Parse& parse, const std::vector<std::string>& args);

}  // namespace lugwise::app
