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
    for (const Diagnostic& warning : warnings_of(netlist_of(path).harness, path))
      shown += render(warning, text);
    CHECK(shown == "");
  }
}

TEST_CASE("a part by itself earns no warning for what it is not joined to", "[check]") {
  for (const char* part : {"pot", "pickup", "resistor", "capacitor"}) {
    const std::string path = std::string("harnesses/parts/") + part + ".yaml";
    CAPTURE(path);
    CHECK(netlist_of(path).harness.by_itself());
    CHECK(warnings_of(netlist_of(path).harness, path).empty());
  }
  for (const char* part :
       {"{jack: {kind: jack}}",
        "{selector: {kind: switch, lugs: [f, out], positions: {on: [[f, out]], off: []}}}",
        "{blend: {kind: pot, track: 250k}, blend-rear: {kind: pot, track: 250k, gang: blend}}",
        "{twin: {kind: pickup, coils: {slug: 4k, screw: 4k}, inside: [[slug-finish, screw-finish]], leads: "
        "{red: "
        "slug-start, white: screw-start}}}"}) {
    CAPTURE(part);
    CHECK(warnings_of(harness_from("parts: " + std::string(part)), "part.yaml").empty());
  }
}

TEST_CASE("two parts that nothing joins are an unfinished drawing", "[check]") {
  const Harness harness =
      harness_from("parts: {volume: {kind: pot, track: 250k}, tone: {kind: pot, track: 250k}}");
  CHECK_FALSE(harness.by_itself());
  CHECK(warnings_of(harness, "two.yaml").size() == 3);
  CHECK_FALSE(harness_from("parts: {volume: {kind: pot, track: 250k}}\njoints: [[volume.case, volume.1]]")
                  .by_itself());
}

TEST_CASE("what is written wrong of a part by itself is still said", "[check]") {
  const auto warnings = warnings_of(harness_from("parts: {front: {kind: pickup, dcr: 6.2}}"), "part.yaml");
  REQUIRE(warnings.size() == 1);
  CHECK(warnings.front().code == "W117");
}
