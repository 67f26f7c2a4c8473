// The JSON of what several outputs share. Key order is that of docs/commands.md and never changes from run to run.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/expectation.h"
#include "fault/fault.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "report/heading.h"
#include "sheet/observation.h"

namespace lugwise::report {
inline namespace inside {

using Json = nlohmann::ordered_json;

// A number to nine figures, so that the last bits of a sum are not printed; null where not finite.
Json number(double value);

// Nobody reads more problems than this at once, nor does a program.
inline constexpr std::size_t kMostSaid = 100;

// "read", "sweep", "wiggle".
std::string_view action_name(Action action);

Json json_of(const Heading& heading);
Json json_of(const std::vector<Diagnostic>& problems);
Json json_of(const Harness& harness, const std::vector<PointId>& points);
Json json_of(const Harness& harness, const Setting& setting);
// Of two exchanged leads the second one is in it as `also`.
Json json_of(const Harness& harness, const Fault& fault);
Json json_of(const Harness& harness, const Observation& seen);
Json json_of(const Expected& expected);
Json shows_json(const Meter& meter, const Range& range, const Expected& expected, const Window& window);
Json farads_json(const Meter& meter, const CapacitanceReading& reading);

// A reading to take, as plans and diagnoses give it; what only one of them knows is added by the caller.
struct Reading {
  std::optional<int> step;
  const Setting& setting;
  const Access& access;
  PointId a, b;
  const Expected& expected;
  const Range& range;
  const Window& shows;
};
Json json_of(const Harness& harness, const Meter& meter, const Reading& reading,
             const std::vector<Fault>& proves, const std::string& say);

// As text, ending in a new line; the second in one line.
std::string written(const Json& json);
std::string written_in_one_line(const Json& json);

}  // namespace inside
}  // namespace lugwise::report
