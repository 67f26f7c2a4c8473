// What work is expected, for workload_test.py: `FILE<tab>COMMAND` a line on standard input, each answered by a line of its seconds and
// megabytes. Commands are those of tests/limits/measured.txt: `plan --quick`, `diagnose 100` (readings), `study 40` (cases, one
// thread), `exercise 4 2` (level, count), `batch report 8` (units).
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <map>
#include <optional>
#include <sstream>
#include <string>

#include "handling/workload.h"
#include "intake/netlist.h"

namespace {

std::optional<lugwise::SearchSize> size_of(const std::string& file) {
  std::ifstream stream(file);
  std::stringstream text;
  text << stream.rdbuf();
  lugwise::Diagnostics problems(file);
  const auto netlist = lugwise::read_netlist(text.str(), problems);
  if (!netlist) return std::nullopt;
  return lugwise::size_of_search(netlist->harness, std::nullopt,
                                 lugwise::faults_at(netlist->harness, std::nullopt));
}

std::optional<lugwise::Workload> work_of(const lugwise::SearchSize& size, const std::string& command) {
  using lugwise::Aim;
  if (command == "faults") return lugwise::work_of_effects(size);
  if (command == "plan") return lugwise::work_of_plan(size, Aim::Usual);
  if (command == "plan --thorough") return lugwise::work_of_plan(size, Aim::Thorough);
  if (command == "plan --quick") return lugwise::work_of_plan(size, Aim::Quick);
  std::istringstream words(command);
  std::string name, kind;
  std::size_t count = 0;
  int level = 0;
  words >> name;
  if (name == "diagnose" && words >> count) return lugwise::work_of_diagnosis(size, count);
  if (name == "study" && words >> count) return lugwise::work_of_study(size, count, 1);
  if (name == "exercise" && words >> level >> count) return lugwise::work_of_exercises(size, level, count);
  if (name == "batch" && words >> kind >> count) return lugwise::work_of_units(size, Aim::Usual, count);
  return std::nullopt;
}

}  // namespace

int main() {
  std::map<std::string, std::optional<lugwise::SearchSize>> sizes;
  for (std::string line; std::getline(std::cin, line);) {
    const std::size_t tab = std::min(line.find('\t'), line.size());
    const std::string file = line.substr(0, tab);
    if (!sizes.count(file)) sizes[file] = size_of(file);
    const auto work =
        sizes[file] ? work_of(*sizes[file], line.substr(std::min(tab + 1, line.size()))) : std::nullopt;
    if (!work) {
      fmt::print(stderr, "workload_peer: no answer to '{}'\n", line);
      return 2;
    }
    fmt::print("{:.3f}\t{:.1f}\n", work->seconds, work->bytes / 1e6);
  }
}
