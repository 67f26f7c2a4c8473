// How large a harness may be.

#include "handling/capacity.h"

#include <filesystem>
#include <string>

#include "handling/handling.h"
#include "support/catch.h"
#include "support/harness_from.h"

namespace lugwise {
namespace {

TEST_CASE("every harness that is shipped is far inside the limits", "[handling]") {
  for (const auto& entry : std::filesystem::directory_iterator(test::repository() / "harnesses")) {
    if (entry.path().extension() != ".yaml") continue;
    CAPTURE(entry.path().string());
    const Harness harness = test::netlist_of("harnesses/" + entry.path().filename().string()).harness;
    CHECK(too_large_to_search(harness).empty());
    const Burden burden = burden_of(harness);
    CHECK(burden.points <= 100);
    CHECK(burden.elements <= 200);
    CHECK(burden.settings <= 100);
  }
}

TEST_CASE("no more settings are tried than were counted", "[handling]") {
  const auto check = [](const Harness& harness) {
    const std::size_t tried = settings_to_try(harness, std::nullopt).size();
    const std::size_t counted = burden_of(harness).settings;
    CHECK(tried <= counted);
    CHECK(counted <= tried + 2);
  };
  for (int i = 1; i <= 17; ++i)
    check(test::netlist_of("harnesses/fernhollow-" + std::to_string(i) + ".yaml").harness);
  // 5 x 5 x 5 places are too many to be tried together: 1 + 3 x 4 are left.
  std::string text = "parts:\n";
  for (const char* name : {"a", "b", "c"})
    text += std::string("  ") + name +
            ": {kind: switch, lugs: [1, 2], positions: {p: [[1, 2]], q: [], r: [], s: [], t: []}}\n";
  const Harness three = test::harness_from(text);
  check(three);
  CHECK(burden_of(three).settings == 13);
}

TEST_CASE("a chain of resistors is refused from so many points on", "[handling]") {
  const auto chain = [](int count) {
    std::string text = "parts:\n";
    for (int i = 0; i < count; ++i) text += "  p" + std::to_string(i) + ": {kind: resistor, value: 1k}\n";
    text += "wires:\n";
    for (int i = 0; i + 1 < count; ++i)
      text += "  - [p" + std::to_string(i) + ".2, p" + std::to_string(i + 1) + ".1]\n";
    return test::harness_from(text);
  };
  // Two points a resistor and the two ends of each wire: 4 x 125 - 2 = 498.
  CHECK(too_large_to_search(chain(125)).empty());
  CHECK(too_large_to_search(chain(126)) == "502 points; at most 500 can be looked through");
}

TEST_CASE("so many readings can be weighed and no more", "[handling]") {
  CHECK(too_many_to_weigh(500).empty());
  CHECK(too_many_to_weigh(501) == "501 readings; at most 500 can be weighed together");
}

}  // namespace
}  // namespace lugwise
