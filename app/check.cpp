#include <ostream>

#include "command.h"
#include "load.h"

namespace lugwise::app {

ExitCode check_command(Run& run) {
  load_conditions(run, load_netlist(run));
  run.out << (run.line.json ? check_as_json(run.heading) : check_as_text(run.heading, run.texts));
  return run.line.strict && !run.heading.warnings.empty() ? ExitCode::Found : ExitCode::Well;
}

}  // namespace lugwise::app
