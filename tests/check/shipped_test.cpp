// The worked harnesses are sound: a technician has nothing to say of their drawings.

#include "check/check.h"
#include "support/catch.h"
#include "support/harness_from.h"

using namespace lugwise;
using namespace lugwise::test;

TEST_CASE("no worked harness earns a warning", "[check]") {
  for (int number = 1; number <= 17; ++number) {
    const std::string path = "harnesses/fernhollow-" + std::to_string(number) + ".yaml";
    const std::string text = file_text(path);
    std::string shown;
    for (const Diagnostic& warning : check(netlist_of(path).harness, path)) shown += render(warning, text);
    CHECK(shown == "");
  }
}
