// Every small circuit there is, against Kirchhoff's counting rule in whole numbers (support/exact_network.h).
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <string>

#include "shapes.h"
#include "support/catch.h"
#include "support/exact_network.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

// What may lie between two points, a letter each: nothing (-), a zero-ohm link (0), 1 ohm, 2 ohms, or 1 and 2
// ohms in parallel (3).
constexpr std::int64_t kScale = 2;  // every resistance divides it

using Pairs = std::vector<std::pair<std::uint32_t, std::uint32_t>>;

Pairs pairs_of(std::uint32_t points) {
  Pairs pairs;
  for (std::uint32_t a = 0; a < points; ++a) {
    for (std::uint32_t b = a + 1; b < points; ++b) pairs.emplace_back(a, b);
  }
  return pairs;
}

std::vector<Resistor> resistors_of(const Pairs& pairs, const std::string& word) {
  std::vector<Resistor> resistors;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    auto [a, b] = pairs[i];
    if (i % 2) std::swap(a, b);  // both directions occur
    if (word[i] == '0') resistors.push_back({a, b, 0});
    if (word[i] == '1' || word[i] == '3') resistors.push_back({a, b, 1});
    if (word[i] == '2' || word[i] == '3') resistors.push_back({b, a, 2});
  }
  return resistors;
}

// The next word over the letters, as an odometer; false after the last.
bool next(std::string& word, const std::string& letters) {
  for (char& c : word) {
    const std::size_t at = letters.find(c) + 1;
    c = letters[at % letters.size()];
    if (at < letters.size()) return true;
  }
  return false;
}

bool near(std::optional<double> x, std::optional<double> y) {
  if (!x || !y) return !x && !y;
  return std::abs(*x - *y) <= 1e-13 * (1 + std::abs(*y));
}

// The first thing about which solver and reference disagree, or "".
std::string disagreement(std::uint32_t points, const std::vector<Resistor>& resistors) {
  const Network network(points, resistors);
  const ForestNetwork truth(points, resistors, kScale);
  std::vector<std::uint32_t> all(points);
  std::iota(all.begin(), all.end(), 0U);
  const std::vector<std::optional<double>> table = network.all_pairs(all);
  for (std::uint32_t a = 0; a < points; ++a) {
    for (std::uint32_t b = 0; b < points; ++b) {
      const std::string pair = std::to_string(a) + "-" + std::to_string(b);
      const std::optional<double> ohms = truth.resistance(a, b);
      if (network.connected(a, b) != ohms.has_value()) return "connected " + pair;
      if ((network.merged(a) == network.merged(b)) != (ohms == 0.0)) return "merged " + pair;
      if (!near(network.resistance(a, b), ohms)) return "resistance " + pair;
      if (!near(table[a * points + b], ohms)) return "all pairs " + pair;
      if (b < a) continue;
      const std::optional<Flow> flow = network.flow(a, b);
      if (flow.has_value() != ohms.has_value()) return "flow " + pair;
      if (!flow) continue;
      if (!near(flow->ohms, ohms)) return "ohms of the flow " + pair;
      std::vector<double> current(resistors.size(), 0);
      for (const Current& c : flow->currents) current[c.resistor] = c.amperes;
      for (std::uint32_t r = 0; r < resistors.size(); ++r) {
        if (!near(current[r], truth.current(r, a, b)))
          return "current of " + std::to_string(r) + " for " + pair;
      }
      std::vector<double> gathered(points, 0);  // of each merged point: what flows in less what flows out
      gathered[network.merged(a)] += 1;
      gathered[network.merged(b)] -= 1;
      for (std::uint32_t r = 0; r < resistors.size(); ++r) {
        gathered[network.merged(resistors[r].a)] -= current[r];
        gathered[network.merged(resistors[r].b)] += current[r];
      }
      for (double rest : gathered) {
        if (std::abs(rest) > 1e-13) return "current is lost for " + pair;
      }
    }
  }
  for (std::uint32_t r = 0; r < resistors.size(); ++r) {
    if (network.cut(r) != truth.cut(r)) return "cut " + std::to_string(r);
    if (!near(network.detour(r), truth.detour(r))) return "detour " + std::to_string(r);
  }
  return "";
}

void check_all(std::uint32_t points, const std::string& letters, std::size_t stride) {
  const Pairs pairs = pairs_of(points);
  std::string word(pairs.size(), letters[0]);
  std::size_t count = 0;
  do {
    if (count++ % stride) continue;
    const std::string wrong = disagreement(points, resistors_of(pairs, word));
    if (wrong.empty()) continue;
    INFO("circuit " << word << " over the pairs 01 02 03 .. 12 13 ..");
    FAIL(wrong);
  } while (next(word, letters));
  CHECK(count == static_cast<std::size_t>(std::llround(std::pow(letters.size(), pairs.size()))));
}

TEST_CASE("every circuit of up to four points reads as counting its spanning trees says") {
  for (std::uint32_t points = 1; points <= 4; ++points) check_all(points, "-0123", kSlowBuild ? 7 : 1);
}

TEST_CASE("every circuit of five points without zero ohms reads as counting its spanning trees says") {
  check_all(5, "-12", kSlowBuild ? 29 : 1);
}

// The remaining letters at five points: one circuit for each way to name the points. Which one matters to a
// solver that takes points in some order, so it is renamed at random.
TEST_CASE(
    "every circuit of five points with zero ohms, up to the points' names, reads as counting its trees "
    "says") {
  const Pairs pairs = pairs_of(5);
  std::vector<std::array<std::size_t, 10>> renamings;  // where each pair goes
  std::array<std::uint32_t, 5> name = {0, 1, 2, 3, 4};
  do {
    std::array<std::size_t, 10> moved{};
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      const std::pair<std::uint32_t, std::uint32_t> to =
          std::minmax(name[pairs[i].first], name[pairs[i].second]);
      moved[i] = static_cast<std::size_t>(std::find(pairs.begin(), pairs.end(), to) - pairs.begin());
    }
    renamings.push_back(moved);
  } while (std::next_permutation(name.begin(), name.end()));
  REQUIRE(renamings.size() == 120);

  Dice dice(5);
  std::string word(pairs.size(), '-');
  std::size_t classes = 0;
  do {
    const bool first_of_its_class = std::none_of(renamings.begin(), renamings.end(), [&](const auto& moved) {
      for (std::size_t i = 0; i < word.size(); ++i) {
        if (word[moved[i]] != word[i]) return word[moved[i]] < word[i];
      }
      return false;
    });
    if (!first_of_its_class) continue;
    const auto& moved = renamings[dice.below(120)];
    if (classes++ % (kSlowBuild ? 29 : 1)) continue;
    std::string renamed = word;
    for (std::size_t i = 0; i < word.size(); ++i) renamed[i] = word[moved[i]];
    const std::string wrong = disagreement(5, resistors_of(pairs, renamed));
    if (wrong.empty()) continue;
    INFO("circuit " << renamed << " over the pairs 01 02 03 04 12 13 14 23 24 34");
    FAIL(wrong);
  } while (next(word, "-012"));
  // Burnside's count of four kinds of resistor on ten pairs under 120 renamings:
  // (4^10 + 10 4^7 + 15 4^6 + 20 4^4 + 20 4^3 + 30 4^3 + 24 4^2) / 120. Computed here.
  CHECK(classes == 10688);
}

TEST_CASE("the two exact references agree with each other") {
  Dice dice(11);
  for (int round = 0; round < (kSlowBuild ? 20 : 300); ++round) {
    const std::uint32_t points = 2 + dice.below(5);
    std::vector<Resistor> resistors;
    for (std::uint32_t i = dice.below(9); i > 0; --i) {
      resistors.push_back({dice.below(points), dice.below(points), static_cast<double>(dice.below(3))});
    }
    const ExactNetwork fractions(points, resistors);
    const ForestNetwork forests(points, resistors, kScale);
    for (std::uint32_t a = 0; a < points; ++a) {
      for (std::uint32_t b = 0; b < points; ++b) {
        CHECK(fractions.resistance(a, b) == forests.resistance(a, b));
        for (std::uint32_t r = 0; r < resistors.size(); ++r) {
          CHECK_THAT(fractions.current(r, a, b), WithinRel(forests.current(r, a, b), 1e-14) ||
                                                     WithinAbs(forests.current(r, a, b), 1e-15));
        }
      }
    }
    for (std::uint32_t r = 0; r < resistors.size(); ++r) {
      const std::vector<Resistor> rest = without(resistors, r);
      CHECK(ExactNetwork(points, rest).resistance(resistors[r].a, resistors[r].b) == forests.detour(r));
    }
  }
}

}  // namespace
}  // namespace lugwise
