// The one guard of every file that a command line asks to be written.
#pragma once

#include <string>

#include "command.h"
#include "syntax.h"

namespace lugwise::app {

// Before any work: refuses a file that is to be read, the same file twice, a netlist, a readings file or another file that
// lugwise reads, and what can't be written. Throws WrongUsage or BadInput.
void guard_outputs(const Command& command, const CommandLine& line);

// Writes it, if nothing that was read on the way to the answer is lost by it. `option` names the path to the person.
void write_output(const Run& run, const std::string& option, const std::string& path,
                  const std::string& text);

}  // namespace lugwise::app
