// Names typed on the command line, turned into what they stand for in a harness. What there is none of is thrown as BadInput, all
// of one kind at once; what is no name at all as WrongUsage.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "circuit/setting.h"
#include "command.h"
#include "fault/fault.h"
#include "handling/aim.h"
#include "harness/harness.h"
#include "sheet/observation.h"
#include "sheet/sheet.h"

namespace lugwise::app {

// What the command line says was heard.
std::vector<Heard> heard_of(const Run& run, const Harness& harness);

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
