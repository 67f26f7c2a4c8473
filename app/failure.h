// What stopped a command, in words and as an exit code.
#pragma once

#include <exception>
#include <string>
#include <vector>

#include "exit_code.h"
#include "report/heading.h"
#include "source/diagnostic.h"

namespace lugwise::app {

struct Failure {
  ExitCode code;
  std::vector<Diagnostic> errors;
};

// `thrown` came out of a run with this heading; `leave_out` is told where it was too much.
Failure failure_of(const std::exception_ptr& thrown, const Heading& heading, const std::string& leave_out);

}  // namespace lugwise::app
