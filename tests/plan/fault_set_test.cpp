#include <map>
#include <random>
#include <vector>

#include "plan/inside/fault_set.h"
#include "support/catch.h"

using namespace lugwise;
using namespace lugwise::plan::inside;

// Against a map of the same.
TEST_CASE("sets that are alike get one number, others the next, and each number keeps its set", "[plan]") {
  std::mt19937 random(7);
  for (const std::size_t faults : {1U, 64U, 65U, 300U}) {
    FaultSets sets(faults);
    std::map<std::vector<std::size_t>, std::uint32_t> numbers;
    for (int round = 0; round < 3000; ++round) {
      FaultSet set(faults);
      for (int few = 0; few < 2; ++few) set.add(random() % faults);
      const auto [known, fresh] = numbers.try_emplace(set.list(), static_cast<std::uint32_t>(numbers.size()));
      REQUIRE(sets.add(set.words().data()) == known->second);
    }
    REQUIRE(sets.size() == numbers.size());
    for (const auto& [list, number] : numbers)
      REQUIRE(FaultSet(sets[number], (faults + 63) / 64).list() == list);
  }
}
