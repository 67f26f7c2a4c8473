// Whose turn it is, beside a plain set of everybody who waits.
#include "network/inside/turns.h"

#include <cstdint>
#include <optional>
#include <random>
#include <set>
#include <utility>
#include <vector>

#include "support/catch.h"

namespace lugwise::network::inside {
namespace {

// Points come, change their neighbours and go in any order; few neighbours and many, few points and more than two levels of words.
void try_turns(std::uint32_t points, std::uint32_t neighbours, unsigned seed) {
  std::mt19937 random(seed);
  Turns turns(points);
  std::set<std::pair<std::uint32_t, std::uint32_t>> waiting;
  std::vector<std::optional<std::uint32_t>> with(points);
  for (std::uint32_t round = 0; round < 4 * points + 20; ++round) {
    if (random() % 3 != 0) {
      const auto point = static_cast<std::uint32_t>(random() % points);
      const auto now = static_cast<std::uint32_t>(random() % neighbours);
      if (with[point]) waiting.erase({*with[point], point});
      with[point] = now;
      waiting.emplace(now, point);
      turns.put(point, now);
      continue;
    }
    const std::optional<std::uint32_t> turn = turns.take();
    REQUIRE(turn.has_value() == !waiting.empty());
    if (!turn) continue;
    REQUIRE(*turn == waiting.begin()->second);
    waiting.erase(waiting.begin());
    with[*turn].reset();
  }
  for (const auto& [now, point] : waiting) REQUIRE(turns.take() == point);
  CHECK(!turns.take());
}

TEST_CASE("The next in turn has the fewest neighbours, and of several is the lowest", "[network]") {
  for (unsigned seed = 0; seed < 5; ++seed) {
    for (const std::uint32_t points : {1U, 2U, 63U, 64U, 65U, 300U, 4097U}) {
      INFO(points << " points, seed " << seed);
      try_turns(points, 5, seed);
      try_turns(points, 80, seed);
    }
  }
}

}  // namespace
}  // namespace lugwise::network::inside
