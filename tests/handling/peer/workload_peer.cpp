// What work is expected of netlists, for workload_test.py: `FILE` or `FILE STAGE` a line on standard input; each is answered by a
// line a command, with its seconds and megabytes, and an empty line.
#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>

#include "handling/workload.h"
#include "intake/netlist.h"

int main() {
  for (std::string line; std::getline(std::cin, line);) {
    std::istringstream words(line);
    std::string file, stage;
    words >> file >> stage;
    std::ifstream stream(file);
    std::stringstream text;
    text << stream.rdbuf();
    lugwise::Diagnostics problems(file);
    const auto netlist = lugwise::read_netlist(text.str(), problems);
    if (!netlist) {
      fmt::print(stderr, "workload_peer: cannot read {}\n", file);
      return 2;
    }
    const lugwise::Harness& harness = netlist->harness;
    std::optional<std::size_t> at;
    for (std::size_t s = 0; s < harness.stages().size(); ++s)
      if (harness.stages()[s].name == stage) at = s;
    const lugwise::SearchSize size = lugwise::size_of_search(harness, at, lugwise::faults_at(harness, at));
    const auto tell = [](const char* command, const lugwise::Workload& work) {
      fmt::print("{}\t{:.3f}\t{:.1f}\n", command, work.seconds, work.bytes / 1e6);
    };
    tell("faults", lugwise::work_of_effects(size));
    tell("plan", lugwise::work_of_plan(size, lugwise::Thoroughness::Usual));
    tell("plan --thorough", lugwise::work_of_plan(size, lugwise::Thoroughness::Thorough));
    tell("plan --quick", lugwise::work_of_plan(size, lugwise::Thoroughness::Quick));
    fmt::print("\n");
    std::fflush(stdout);
  }
}
