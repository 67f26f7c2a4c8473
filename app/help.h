// How a page of help looks: usage, purpose, groups of options with their defaults, examples.
#pragma once

#include <string>
#include <vector>

#include "syntax.h"

namespace lugwise::app {

// The page of the last command of a chain that begins with the program.
std::string help_page(const std::vector<const Command*>& chain);

// How an option is typed, as "-o, --output FILE", and what it does, with its default.
std::string spelling(const Option& option);
std::string described(const Option& option);

// "lugwise expect HARNESS POINT OTHER [options]"
std::string usage_of(const std::vector<const Command*>& chain);

}  // namespace lugwise::app
