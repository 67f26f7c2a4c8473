// Names with numbers in the order in which people look for them.

#include "text/order.h"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "support/catch.h"

using lugwise::text::stands_before;

TEST_CASE("numbers in names stand by their size", "[text]") {
  const std::vector<std::string> sorted{"",
                                        "1.yaml",
                                        "1.2.yaml",
                                        "1.10.yaml",
                                        "02",
                                        "2",
                                        "10",
                                        "FH-2",
                                        "FH-10",
                                        "FH-010a",
                                        "FH-10a",
                                        "FH-10b2",
                                        "FH-10b12",
                                        "FI-1",
                                        "a",
                                        "99999999999999999999998",
                                        "99999999999999999999999"};
  std::vector<std::string> names = sorted;
  std::sort(names.begin(), names.end(), stands_before);
  CHECK(names[0].empty());
  const auto place = [&](const char* name) {
    return std::find(names.begin(), names.end(), name) - names.begin();
  };
  CHECK(place("1.2.yaml") < place("1.10.yaml"));
  CHECK(place("02") < place("2"));
  CHECK(place("2") < place("10"));
  CHECK(place("FH-2") < place("FH-10"));
  CHECK(place("FH-010a") < place("FH-10a"));
  CHECK(place("FH-10b2") < place("FH-10b12"));
  CHECK(place("FH-10b12") < place("FI-1"));
  CHECK(place("99999999999999999999998") < place("99999999999999999999999"));
}

TEST_CASE("of any names the order is one that can be sorted by", "[text]") {
  // Irreflexive, one way only, of two different ones one comes first, and transitive.
  std::mt19937 random(11);
  std::vector<std::string> names;
  for (int i = 0; i < 60; ++i) {
    std::string name;
    for (std::size_t length = random() % 5; name.size() < length;) name += "0129a-"[random() % 6];
    names.push_back(name);
  }
  for (const auto& x : names) {
    CHECK_FALSE(stands_before(x, x));
    for (const auto& y : names) {
      if (x != y) CHECK(stands_before(x, y) != stands_before(y, x));
      for (const auto& z : names) {
        if (stands_before(x, y) && stands_before(y, z)) REQUIRE(stands_before(x, z));
      }
    }
  }
}
