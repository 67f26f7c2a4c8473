#include "match/match.h"

#include "command.h"
#include "form.h"
#include "intake/pickups.h"
#include "load.h"
#include "report/match.h"

namespace lugwise::app {

ExitCode match_command(Run& run) {
  Lot lot = load_pickups(run);
  lot.file = run.line.pickups;
  run.heading.meter = lot.meter;
  run.heading.temperature = run.line.temperature;
  answer(run, lot, match(lot));
  return ExitCode::Well;
}

}  // namespace lugwise::app
