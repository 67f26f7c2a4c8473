// Reads the files a command names. Whatever is wrong with one is thrown as BadInput, all its problems at once.
#pragma once

#include <optional>
#include <string>

#include "command.h"
#include "harness/harness.h"
#include "intake/netlist.h"
#include "match/match.h"
#include "meter/meter.h"
#include "record/conditions.h"
#include "record/job.h"
#include "sheet/sheet.h"
#include "source/diagnostic.h"

namespace lugwise::app {

// What was found in a file: errors end the run as BadInput; warnings go to the heading, before those about the netlist.
void take(Run& run, const Diagnostics& found);

// The netlist of the command line, with what is noticed on it; fills the run's heading. It is read with the values that the
// command line gives, else with those that its readings or another file of the run has chosen.
Netlist load_netlist(Run& run);

// The same in one text, read as such: what is handed out needs no other file beside it.
struct LoneNetlist {
  std::string text;
  Netlist netlist;
};
LoneNetlist load_alone(Run& run);

// The harness as it was changed, of CommandLine::later.
Netlist load_later(Run& run);

// The same, of a harness that a search over all probes can look through.
Netlist load_searchable(Run& run);
void refuse_too_large(const Run& run, const Harness& harness);

// A meter's file.
Meter load_meter(Run& run, const std::string& file);

// The readings file of the command line.
Sheet load_sheet(Run& run, const Netlist& netlist);

// The file of measured pickups of the command line.
Lot load_pickups(Run& run);

// What is measured with and how warm, as the command line says, else the readings, else the netlist. Fills the run's heading.
Conditions load_conditions(Run& run, const Netlist& netlist, const Sheet* readings = nullptr);

// The readings file of the command line, taken up; warns where it names another harness than the command line.
Job load_job(Run& run, const Netlist& netlist);
Job take_up_sheet(Run& run, const Netlist& netlist, Sheet sheet, const Conditions& conditions);

}  // namespace lugwise::app
