// For cover_test.py: the covering problem behind a plan's least number of readings, as it is before anything is left out
// of it. Reads paths of worked harnesses, a line each; writes, for each of them and each of its stages,
//
//   problem PATH, STAGE
//   plan LEAST EXACT                 what the plan says, and 1 where it calls that exact
//   DEPTH FAULT FAULT ...            for each reading that may be taken, how far it is open (0: outside) and the faults it
//                                    shows; of sweeps none
//   end

#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <string>

#include "intake/netlist.h"
#include "plan/inside/openings.h"
#include "plan/inside/survey.h"

using namespace lugwise;
using namespace lugwise::plan::inside;

namespace {

void write_problem(const Netlist& netlist, const std::string& name, std::optional<std::size_t> stage) {
  PlanOptions options;
  options.stage = stage;
  if (netlist.meter) options.meter = *netlist.meter;
  const Plan plan = plan_for(netlist.harness, netlist.id, options);
  std::cout << "problem " << name << '\n' << "plan " << plan.least_steps << ' ' << plan.least_exact << '\n';
  const std::vector<Setting> settings = settings_to_try(netlist.harness, stage);
  for (const Access& access : openings(netlist.harness, options)) {
    const Survey all = survey(netlist.harness, plan.faults, plan.sizes, options, settings, access);
    for (std::size_t c = 0; c < all.candidates.size(); ++c) {
      std::cout << access.depth << ' ';
      for (std::size_t fault : FaultSet(all.set(c), all.words()).list()) std::cout << fault << ' ';
      std::cout << '\n';
    }
  }
  std::cout << "end\n";
}

}  // namespace

int main() {
  std::string path;
  while (std::getline(std::cin, path)) {
    std::ifstream file(path);
    const std::string text(std::istreambuf_iterator<char>(file), {});
    Diagnostics diagnostics(path);
    const auto netlist = read_netlist(text, diagnostics);
    if (!netlist) return 1;
    write_problem(*netlist, path, std::nullopt);
    for (std::size_t s = 0; s < netlist->harness.stages().size(); ++s)
      write_problem(*netlist, path + ", " + netlist->harness.stages()[s].name, s);
  }
}
