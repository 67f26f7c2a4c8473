// Which known name a mistyped one was meant to be.

#include "source/nearest.h"

#include <algorithm>
#include <string>
#include <vector>

#include "support/catch.h"

namespace lugwise {
namespace {

// The same distance by trying everything, without rows and limits.
double slow_distance(std::string_view a, std::string_view b) {
  if (a.empty() || b.empty()) return static_cast<double>(a.size() + b.size());
  const auto low = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
  const char x = a.back();
  const char y = b.back();
  const std::string_view fore = a.substr(0, a.size() - 1);
  const std::string_view before = b.substr(0, b.size() - 1);
  double least = slow_distance(fore, before) + (x == y ? 0 : low(x) == low(y) ? 0.5 : 1);
  least = std::min(least, slow_distance(fore, b) + 1);
  least = std::min(least, slow_distance(a, before) + 1);
  if (a.size() > 1 && b.size() > 1 && x == before.back() && y == fore.back()) {
    least = std::min(least,
                     slow_distance(fore.substr(0, fore.size() - 1), before.substr(0, before.size() - 1)) + 1);
  }
  return least;
}

TEST_CASE("a slip of the fingers is one edit, a letter in the wrong case half of one", "[source]") {
  CHECK(edit_distance("sleeve", "sleeve", 3) == 0);
  CHECK(edit_distance("sleve", "sleeve", 3) == 1);
  CHECK(edit_distance("sleevve", "sleeve", 3) == 1);
  CHECK(edit_distance("slaeve", "sleeve", 3) == 1);
  CHECK(edit_distance("lseeve", "sleeve", 3) == 1);
  CHECK(edit_distance("Sleeve", "sleeve", 3) == 0.5);
  CHECK(edit_distance("volume", "jack", 3) == 4);  // never more than the limit and one
}

TEST_CASE("the distance of any two short words is what trying everything gives", "[source]") {
  std::vector<std::string> words{""};
  for (std::size_t first = 0, length = 0; length < 4; ++length) {
    const std::size_t last = words.size();
    for (std::size_t i = first; i < last; ++i) {
      for (const char letter : {'a', 'b', 'A'}) words.push_back(words[i] + letter);
    }
    first = last;
  }
  bool right = true;
  for (const std::string& a : words) {
    for (const std::string& b : words) {
      const double slow = slow_distance(a, b);
      right = right && edit_distance(a, b, 9) == slow;
      const double limited = edit_distance(a, b, 1);
      right = right && (slow <= 1 ? limited == slow : limited > 1 && limited <= 2);
    }
  }
  CHECK(right);
}

TEST_CASE("the nearest name is suggested, the first of equals, and none that is far away", "[source]") {
  CHECK(nearest_name("jak", {"volume", "jack"}) == "jack");
  CHECK(nearest_name("fornt", {"rear", "front"}) == "front");
  CHECK(nearest_name("tone", {"tone1", "tone2"}) == "tone1");
  CHECK(nearest_name("TONE", {"tune", "tone"}) == "tone");
  CHECK(nearest_name("slve", {"tip", "sleeve"}) == "sleeve");
  CHECK(nearest_name("ab", {"cd"}) == std::nullopt);
  CHECK(nearest_name("Tone", {"tune", "tone"}) == "tone");
  CHECK(nearest_name("capacitor", {"jack", "volume"}) == std::nullopt);
  CHECK(nearest_name("x", {}) == std::nullopt);
  CHECK(nearest_name(std::string(5000, 'x'), {std::string(5000, 'y')}) == std::nullopt);
}

TEST_CASE("a name that was begun goes before one that is a slip away", "[source]") {
  CHECK(nearest_name("diag", {"draw", "plan", "diagnose"}) == "diagnose");
  CHECK(nearest_name("temp", {"step", "temperature"}) == "temperature");
  CHECK(nearest_name("Vol", {"tone", "volume2", "volume"}) == "volume");
  CHECK(nearest_name("--te", {"--set", "--temperature"}) == "--set");  // two letters begin too much
  CHECK(nearest_name("potentiometer", {"pickup", "pot"}) == "pot");
  CHECK(nearest_name("tip", {"ti", "tic"}) == "ti");
}

}  // namespace
}  // namespace lugwise
