#include "plan/inside/cover.h"

#include <algorithm>
#include <random>

#include "support/catch.h"

using namespace lugwise;
using namespace lugwise::plan::inside;

namespace {

using Sets = std::vector<std::vector<std::size_t>>;

FaultSet set_of(const std::vector<std::size_t>& members, std::size_t faults) {
  FaultSet set(faults);
  for (const std::size_t member : members) set.add(member);
  return set;
}

Cover cover_of(const Sets& sets, std::size_t faults) {
  std::vector<FaultSet> made;
  FaultSet all(faults);
  for (const auto& each : sets) {
    made.push_back(set_of(each, faults));
    all |= made.back();
  }
  Cover cover = smallest_cover(made, all);
  FaultSet covered(faults);
  for (const std::size_t chosen : cover.sets) covered |= made[chosen];
  CHECK(covered.contains(all));
  return cover;
}

}  // namespace

// Every choice of sets is looked at: 2^12 of them.
TEST_CASE("the smallest cover of random sets is as small as the smallest of all choices", "[plan]") {
  std::mt19937 random(3);
  for (int round = 0; round < 300; ++round) {
    const std::size_t faults = 1 + random() % 70;
    const std::size_t count = 1 + random() % 12;
    Sets sets(count);
    std::vector<std::uint64_t> low(count), high(count);
    std::uint64_t all_low = 0, all_high = 0;
    for (std::size_t s = 0; s < count; ++s) {
      for (std::size_t f = 0; f < faults; ++f) {
        if (random() % 4 != 0) continue;
        sets[s].push_back(f);
        (f < 64 ? low : high)[s] |= std::uint64_t{1} << f % 64;
      }
      all_low |= low[s];
      all_high |= high[s];
    }
    std::size_t least = count;
    for (std::uint32_t choice = 0; choice < 1U << count; ++choice) {
      std::uint64_t got_low = 0, got_high = 0;
      std::size_t size = 0;
      for (std::size_t s = 0; s < count; ++s) {
        if ((choice >> s & 1) == 0) continue;
        ++size;
        got_low |= low[s];
        got_high |= high[s];
      }
      if (got_low == all_low && got_high == all_high) least = std::min(least, size);
    }
    const Cover cover = cover_of(sets, faults);
    CHECK(cover.exact());
    CHECK(cover.sets.size() == least);
  }
}

// The Steiner triple systems on 9 points: every pair of points lies in exactly one triple, and the fewest points that
// meet every triple are 5 (Fulkerson, Nemhauser, Trotter 1974, hard covering problems; from memory, and
// checked by the affine plane of order 3: a set without a whole line has at most 4 points).
TEST_CASE("the least points that meet all triples of the Steiner system on nine are five", "[plan]") {
  Sets triples;
  for (std::size_t slope = 0; slope < 3; ++slope) {
    for (std::size_t shift = 0; shift < 3; ++shift) {
      std::vector<std::size_t> line;
      for (std::size_t x = 0; x < 3; ++x) line.push_back(3 * x + (slope * x + shift) % 3);
      triples.push_back(line);
    }
  }
  for (std::size_t x = 0; x < 3; ++x) triples.push_back({3 * x, 3 * x + 1, 3 * x + 2});
  Sets by_point(9);
  for (std::size_t t = 0; t < triples.size(); ++t) {
    for (const std::size_t point : triples[t]) by_point[point].push_back(t);
  }
  const Cover cover = cover_of(by_point, triples.size());
  CHECK(cover.exact());
  CHECK(cover.sets.size() == 5);
}

TEST_CASE("a cover of nothing needs nothing, and one set that holds all is enough", "[plan]") {
  CHECK(smallest_cover({}, FaultSet(5)).sets.empty());
  CHECK(cover_of({{0, 1}, {0, 1, 2, 3}, {2, 3}}, 4).sets == std::vector<std::size_t>{1});
}
