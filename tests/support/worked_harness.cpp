// Apart from bench.cpp, which the measurements use without a test framework.
#include <fstream>
#include <sstream>

#include "support/bench.h"
#include "support/harness_from.h"

namespace lugwise::test {

Netlist worked_harness(const std::string& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return netlist_from(text.str());
}

}  // namespace lugwise::test
