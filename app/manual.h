// The program's page of the manual, written from the same commands that are parsed.
#pragma once

#include <string>

#include "syntax.h"

namespace lugwise::app {

// lugwise(1), in the language of man pages.
std::string manual_page(const Command& program, const std::string& version);

}  // namespace lugwise::app
