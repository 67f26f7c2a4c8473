#include <fmt/format.h>

#include <optional>
#include <ostream>
#include <string>
#include <utility>
#include <vector>

#include "command.h"
#include "form.h"
#include "intake/value.h"
#include "load.h"
#include "record/expected_reading.h"
#include "report/expectation.h"
#include "typed.h"

namespace lugwise::app {
namespace {

// The range of the command line, if any.
std::optional<Range> read_range(const Run& run, const Meter& meter) {
  if (run.line.range.empty()) return std::nullopt;
  const Parsed<Ohms> top = parse_ohms(run.line.range);
  if (!top.value) throw WrongUsage{"--range: " + top.why()};
  if (const Range* range = meter.find_range(*top.value)) return *range;
  std::vector<std::string> names;
  for (const Range& range : meter.ranges) names.push_back(range_name(range.top));
  throw WrongUsage{fmt::format("--range: the meter has no range of {}; its ranges are {}",
                               range_name(*top.value), fmt::join(names, ", "))};
}

// Why what was typed as --reads can't be held against the reading.
WrongUsage unfit(const Run& run, const Harness& harness, const Observation& seen, const Held& held) {
  const std::string& a = harness[seen.a].name;
  std::string why;
  switch (*held.unfit) {
    case Unfit::NoReading:
      return WrongUsage{"--reads: " + held.read.wrong->why()};
    case Unfit::NotOfCapacitor:
      why = fmt::format("'{}' and '{}' are not the two ends of a capacitor", a, harness[seen.b].name);
      break;
    case Unfit::NoCapacitance:
      why = "the meter has no capacitance ranges";
      break;
    case Unfit::NotAlone:
      why = fmt::format("something else lies between them; lift one lead: --lifted {}", a);
      break;
  }
  return WrongUsage{fmt::format("--reads: '{}' is in farads, and {}", run.line.reads, why)};
}

}  // namespace

ExitCode expect_command(Run& run) {
  const Netlist netlist = load_netlist(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  const auto stage = find_stage(harness, run.line.stage, run.line.harness, {});
  Observation seen = read_reading(run, harness, stage);
  seen.range = read_range(run, conditions.meter);
  ExpectedReading reading = expected_reading(harness, seen, stage, conditions);
  if (!run.line.reads.empty()) {
    const Held held = hold_against(harness, run.line.reads, conditions, reading);
    if (held.unfit) throw unfit(run, harness, seen, held);
  }
  answer(run, harness, reading);
  return reading.reads && !reading.reads->agrees() ? ExitCode::Found : ExitCode::Well;
}

}  // namespace lugwise::app
