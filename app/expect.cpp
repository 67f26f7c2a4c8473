#include <ostream>

#include "circuit/capacitance.h"
#include "command.h"
#include "load.h"
#include "report/expectation.h"

namespace lugwise::app {

ExitCode expect_command(Run& run) {
  const Netlist netlist = load_netlist(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  const Probes probes = read_probes(run, harness);

  State state;
  state.setting = probes.setting;
  state.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  state.lifted = probes.lifted;
  state.temperature = conditions.coils();
  state.cavity_open = access_for(harness, {probes.a, probes.b}, probes.lifted).depth > 0;
  const Circuit circuit = circuit_of(harness, state);
  for (PointId point : {probes.a, probes.b}) {
    const std::string why = why_absent(harness, circuit, state.stage, point);
    if (!why.empty()) throw bad_input("U313", why, run.line.harness);
  }

  const Expected expected = expect(circuit, probes.a, probes.b);
  const int plugs = plugs_among(harness, probes.a, probes.b);
  const bool endless = expected.open || expected.unlimited;
  const Range range =
      endless ? conditions.meter.ranges.back() : range_for(conditions.meter, expected.ohms.high, plugs);
  std::optional<CapacitanceReading> capacitance;
  const auto capacitor = capacitor_between(harness, probes.a, probes.b);
  if (capacitor && !conditions.meter.capacitance.empty() && measured_alone(harness, circuit, *capacitor))
    capacitance = capacitance_reading(conditions.meter, farads_of(harness, *capacitor));
  const ExpectedReading reading{
      probes.a,      probes.b, probes.setting, state.stage,
      probes.lifted, expected, range,          window(conditions.meter, range, expected.ohms, plugs),
      capacitance};
  run.out << (run.line.json ? as_json(run.heading, harness, reading)
                            : as_text(run.heading, harness, reading));
  return ExitCode::Well;
}

}  // namespace lugwise::app
