// Writes simulated readings beside the circuits they come from, as decks that a general-purpose circuit simulator can solve.
//
//   lugwise_spice NETLIST STRIDE OFFSET
//
// Of the faults of the netlist every STRIDE-th from OFFSET on, and once the sound harness; each reading of the usual plan.
// A line each:
//   reading NAME LOW-CORNER-DECK-LINES... is told by three kinds of lines:
//   "R" copy a b ohms        one resistor of a copy of the network
//   "P" copy a b             where the ampere goes in and out
//   "S" copy-low copy-high copy-nominal|- plugs range-share range-digits digit range-top leads-low leads-high cable shows ...
#include <fmt/format.h>

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "effect/effect.h"
#include "expectation/corner.h"
#include "intake/netlist.h"
#include "plan/plan.h"
#include "sheet/step_reading.h"
#include "simulation/simulation.h"

using namespace lugwise;

namespace {

int copies = 0;

// One copy of the circuit at a corner, with the ampere between two points; its number.
int write_copy(const Circuit& circuit, Corner corner, bool joined, PointId a, PointId b) {
  const int copy = copies++;
  for (const Resistor& each : loose_resistors_at(circuit, corner))
    std::cout << fmt::format("R {} {} {} {:.17g}\n", copy, each.a, each.b, each.ohms);
  if (joined) {
    for (const auto& module : circuit.modules) {
      for (std::size_t i = 0; i + 1 < module.size(); ++i)
        std::cout << fmt::format("R {} {} {} 1e-6\n", copy, module[i].index, module[i + 1].index);
    }
  }
  std::cout << fmt::format("P {} {} {}\n", copy, a.index, b.index);
  return copy;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  const std::size_t stride = std::strtoul(argv[2], nullptr, 10);
  const std::size_t offset = std::strtoul(argv[3], nullptr, 10);
  std::ifstream file(argv[1], std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  Diagnostics problems(argv[1]);
  const std::optional<Netlist> read = read_netlist(text, problems);
  if (!read) return 3;
  const Netlist& netlist = *read;
  const Harness& harness = netlist.harness;
  const Plan plan = plan_for(harness, netlist.id, {});
  const std::vector<Fault> faults = faults_of(harness);
  const Meter meter = plan.options.meter;
  for (std::size_t f = 0; f <= faults.size(); ++f) {
    const bool sound = f == faults.size();
    if (!sound && f % stride != offset) continue;
    SimulationOptions options;
    options.seed = 1000 + f;
    std::vector<Ailment> ailments;
    const double size = sound ? 0 : usual_size(faults[f]);
    if (!sound) ailments.push_back({f, size, false});
    Simulation simulation(harness, faults, ailments, options);
    for (const Step& step : plan.steps) {
      if (step.kind != StepKind::Read || step.capacitance) continue;
      Observation seen = as_observation(harness, step);
      simulation.take(seen, step.range);
      const State state{step.setting, std::nullopt, step.access.depth > 0, step.lifted, Temperature{}};
      Circuit circuit = circuit_of(harness, state);
      if (!sound) circuit = with_fault(circuit, faults[f], size);
      const int low = write_copy(circuit, Corner::Low, true, step.a, step.b);
      const int high = write_copy(circuit, Corner::High, false, step.a, step.b);
      const int nominal =
          sound && circuit.modules.empty() ? write_copy(circuit, Corner::Nominal, false, step.a, step.b) : -1;
      const int plugs = (harness[step.a].role == PointRole::Plug) + (harness[step.b].role == PointRole::Plug);
      std::cout << fmt::format(
          "S {} {} {} {:.17g} {} {} {} {} {} {:.17g} {:.17g} {}\n", low, high, nominal,
          step.expected.open || !step.expected.known ? -1.0 : step.expected.ohms.nominal, step.range.share,
          step.range.digits, meter.step(step.range), step.range.top,
          meter.leads_low + meter.cable / 2 * plugs, meter.leads_high + meter.cable / 2 * plugs,
          seen.shows == Shows::Value ? seen.value : -1.0, sound ? "sound" : in_words(harness, faults[f]));
    }
  }
}
