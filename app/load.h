// Reads the files a command names, and turns names typed on the command line into what they stand for. Whatever is
// wrong is thrown as BadInput, all problems of one kind at once.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "circuit/setting.h"
#include "command.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "intake/netlist.h"
#include "match/match.h"
#include "meter/meter.h"
#include "record/conditions.h"
#include "record/job.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"

namespace lugwise::app {

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

// A stage by its name; none for an empty name, which means that all parts are there.
std::optional<std::size_t> find_stage(const Harness& harness, const std::string& name,
                                      const std::string& file, Span at);

// The plan that is asked for.
Depth depth_of(const CommandLine& line);
Aim aim_of(const CommandLine& line);

// The points of the repair that `--after` names; none where it isn't given.
std::vector<PointId> read_repair(Run& run, const Harness& harness);

// Which of a harness's faults somebody means, by its words or its id.
std::size_t find_fault_of(const Harness& harness, const std::vector<Fault>& faults, const std::string& typed,
                          const std::string& file, Span at = {});

// The points, the setting and what is lifted, as typed.
struct Probes {
  PointId a, b;
  Setting setting;
  std::vector<PointId> lifted;
};
Probes read_probes(const Run& run, const Harness& harness);

// The one reading that is asked for, yet to be taken: throws WrongUsage where both probes are at one point, BadInput where one of
// them can't be there at this stage and in this setting.
Observation read_reading(const Run& run, const Harness& harness, std::optional<std::size_t> stage);

// The setting alone, as typed.
Setting read_setting(const Run& run, const Harness& harness);

// The point that `--at` names with what is soldered to it, or all points of a part and what is soldered to those.
std::vector<PointId> read_place(const Run& run, const Harness& harness);

}  // namespace lugwise::app
