#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include "circuit/capacitance.h"
#include "command.h"
#include "diagnosis/diagnosis.h"
#include "expectation/narrowing.h"
#include "form.h"
#include "handling/handling.h"
#include "intake/display.h"
#include "intake/judge.h"
#include "intake/value.h"
#include "load.h"
#include "record/presence.h"
#include "report/expectation.h"

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

// A reading of the command line, and why the meter could not have shown it where it couldn't.
JudgedReading read_shown(const Run& run, const Meter& meter, const std::optional<Range>& range) {
  Asked asked;
  asked.farads.reset();
  if (range) asked.range = range->top;
  JudgedReading read = judge(run.line.reads, asked, meter);
  if (read.wrong && !read.wrong->on_range)
    throw WrongUsage{"--reads: " + read.wrong->problem +
                     (read.wrong->hint.empty() ? "" : "; " + read.wrong->hint)};
  return read;
}

// Farads are of one capacitor by itself; why they aren't here.
WrongUsage no_farads(const Run& run, const Harness& harness, const Meter& meter, PointId a, PointId b,
                     bool capacitor) {
  std::string why = "the meter has no capacitance ranges";
  if (!capacitor) {
    why = fmt::format("'{}' and '{}' are not the two ends of a capacitor", harness[a].name, harness[b].name);
  } else if (!meter.capacitance.empty()) {
    why = fmt::format("something else lies between them; lift one lead: --lifted {}", harness[a].name);
  }
  return WrongUsage{fmt::format("--reads: '{}' is in farads, and {}", run.line.reads, why)};
}

// What was read, judged by itself beside what is expected there; on its range from then on.
void hold_against(const Run& run, const Harness& harness, const Conditions& conditions,
                  std::optional<std::size_t> stage, Observation seen, const std::optional<Range>& chosen,
                  ExpectedReading& reading) {
  const JudgedReading read = read_shown(run, conditions.meter, chosen);
  const Shown& shown = read.shown;
  const auto capacitor = capacitor_between(harness, reading.a, reading.b);
  if (shown.farads && !reading.capacitance)
    throw no_farads(run, harness, conditions.meter, reading.a, reading.b, capacitor.has_value());
  if (shown.farads) seen.capacitor = capacitor;
  seen.shows = shown.shows;
  seen.value = shown.value;
  seen.resolution = shown.resolution;
  DiagnosisOptions options = conditions.diagnosis_options();
  options.stage = stage;
  const Comparison comparison = compare(harness, seen, options);
  std::string impossible;
  if (read.wrong)
    impossible = read.wrong->problem + (read.wrong->hint.empty() ? "" : "; " + read.wrong->hint);
  if (!shown.farads) {
    reading.range = comparison.range;
    reading.shows = comparison.shows;
  }
  reading.reads = {std::move(seen), comparison, impossible};
}

}  // namespace

ExitCode expect_command(Run& run) {
  const Netlist netlist = load_netlist(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  const Meter& meter = conditions.meter;
  const Probes probes = read_probes(run, harness);
  if (probes.a == probes.b) {
    throw WrongUsage{
        fmt::format("both probes are at '{}': a reading is between two points", harness[probes.a].name)};
  }
  const std::optional<Range> chosen = read_range(run, meter);

  Observation seen;
  seen.a = probes.a;
  seen.b = probes.b;
  seen.setting = probes.setting;
  seen.lifted = probes.lifted;
  seen.range = chosen;

  State state;
  state.setting = probes.setting;
  state.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  state.lifted = probes.lifted;
  state.temperature = conditions.coils();
  seen.access = access_for(harness, {probes.a, probes.b}, probes.lifted, state.stage);
  state.cavity_open = seen.access.depth > 0;
  const Circuit circuit = circuit_of(harness, state);
  for (PointId point : {probes.a, probes.b}) {
    const std::string why = why_absent(harness, circuit, state.stage, point);
    if (!why.empty()) throw bad_input("U313", why, run.line.harness);
  }

  Expected expected = expect(circuit, probes.a, probes.b);
  follow_wipers(circuit, probes.a, probes.b, expected);
  const int plugs = plugs_among(harness, probes.a, probes.b);
  const bool endless = expected.open || expected.unlimited;
  const Range range = chosen    ? *chosen
                      : endless ? meter.ranges.back()
                                : range_for(meter, expected.ohms.high, plugs);
  ExpectedReading reading{
      probes.a,      probes.b,     probes.setting, state.stage,
      probes.lifted, expected,     range,          window(meter, range, expected.ohms, plugs),
      std::nullopt,  std::nullopt, std::nullopt};
  const auto capacitor = capacitor_between(harness, probes.a, probes.b);
  if (capacitor && !meter.capacitance.empty() && measured_alone(harness, circuit, *capacitor))
    reading.capacitance = capacitance_reading(meter, farads_of(harness, *capacitor));
  const auto parts = measured_alone(harness);
  if (auto best = best_to_measure(circuit, probes.a, probes.b, expected, parts, meter.step(range))) {
    const Window shows = window(meter, range, best->expected.ohms, plugs);
    reading.measure = {std::move(*best), shows};
  }
  if (!run.line.reads.empty()) {
    seen.text = run.line.reads;
    hold_against(run, harness, conditions, state.stage, std::move(seen), chosen, reading);
  }
  answer(run, harness, reading);
  return reading.reads && !reading.reads->agrees() ? ExitCode::Found : ExitCode::Well;
}

}  // namespace lugwise::app
