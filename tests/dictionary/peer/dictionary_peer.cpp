// The work of the fault dictionary on one harness in its first setting, for tests/bench/references: its processor time,
// then each faulty network with all that the dictionary says of it.
//
//   dictionary SECONDS NUMBERS          one for a fault, a pair and a corner
//   fault POINTS NAME                   one fault at one corner, to the next
//   resistor A B OHMS
//   entry A B OHMS                      or "open"
#include <fmt/format.h>

#include <array>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <iterator>

#include "dictionary/dictionary.h"
#include "expectation/corner.h"
#include "handling/handling.h"
#include "intake/netlist.h"

using namespace lugwise;

namespace {

constexpr std::array kCorners{Corner::Low, Corner::Nominal, Corner::High};
constexpr int kRounds = 10;

double size_of(const Fault& fault) {
  return fault.mode == Mode::High ? 100 : fault.mode == Mode::Value ? 0.5 : 0;
}

const std::optional<Ohms>& at(const Found& found, Corner corner) {
  return corner == Corner::Low ? found.low : corner == Corner::Nominal ? found.nominal : found.high;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  std::ifstream file(argv[1]);
  Diagnostics diagnostics(argv[1]);
  const auto netlist = read_netlist(
      std::string{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()}, diagnostics);
  if (!netlist) return 3;
  const Harness& harness = netlist->harness;
  const Circuit circuit = circuit_of(harness, {settings_to_try(harness, {}).front(), {}, true, {}, {}});
  std::vector<PointId> probes;
  for (PointId point : reachable(harness, {}, accesses(harness).back().depth)) {
    if (circuit.has(point)) probes.push_back(point);
  }
  const std::vector<Fault> faults = faults_of(harness);
  const std::size_t pairs = probes.size() * (probes.size() - 1) / 2;

  double sum = 0;
  const std::clock_t began = std::clock();
  for (int round = 0; round < kRounds; ++round) {
    const Chapter chapter(circuit, probes);
    for (const Fault& fault : faults) {
      const Page page = chapter.page(fault, size_of(fault));
      for (std::size_t i = 0; i < probes.size(); ++i) {
        for (std::size_t j = i + 1; j < probes.size(); ++j) {
          const Found found = page(i, j);
          sum += found.low.value_or(0) + found.nominal.value_or(0) + found.high.value_or(0);
        }
      }
    }
  }
  const double seconds = static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC / kRounds;
  fmt::print("dictionary {:.9g} {}\n", sum > 0 ? seconds : 0, 3 * pairs * faults.size());

  const Chapter chapter(circuit, probes);
  for (std::size_t f = 0; f < faults.size(); ++f) {
    const Page page = chapter.page(faults[f], size_of(faults[f]));
    const Circuit faulty = with_fault(circuit, faults[f], size_of(faults[f]));
    for (const Corner corner : kCorners) {
      const Network network = network_at(faulty, loose_resistors_at(faulty, corner),
                                         corner == Corner::Low ? Modules::Joined : Modules::Apart);
      fmt::print("fault {} {}\n", network.points(), f);
      for (const Resistor& each : network.resistors())
        fmt::print("resistor {} {} {:.17g}\n", each.a, each.b, each.ohms);
      for (std::size_t i = 0; i < probes.size(); ++i) {
        for (std::size_t j = i + 1; j < probes.size(); ++j) {
          const Found found = page(i, j);
          const std::optional<Ohms>& ohms = at(found, corner);
          fmt::print("entry {} {} {}\n", probes[i].index, probes[j].index,
                     ohms ? fmt::format("{:.17g}", *ohms) : "open");
        }
      }
    }
  }
}
