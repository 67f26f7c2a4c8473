// Which test comes next, so that what is wrong is known for the least cost?
//
// One of some suspects is to blame. Each test has an outcome under each suspect, and a cost that may depend on the test
// taken before. Suspects of one group need not be told apart. Asking ends when one group is sure enough, or when no test
// parts what is left.
//
// The answer is exact (dynamic programming over the sets of suspects that may be left, cut short by a bound) where that takes
// no more than a budget of steps; else each test that says most for its cost is judged by its cost and what a greedy search
// would still need after each of its outcomes.
//
//   Inquiry inquiry;
//   inquiry.shares = {0.4, 0.3, 0.2, 0.1};
//   inquiry.tests = {{{0, 1, 1, 1}, 1}, {{0, 0, 1, 1}, 1}, {{0, 0, 0, 1}, 1}};
//   best_next(inquiry)->cost;   // 1.9
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

namespace lugwise {

// The outcome of a test under a suspect that may show any of the test's outcomes, each as likely: it is never ruled out.
inline constexpr std::uint8_t kAnyOutcome = 255;

struct Inquiry {
  struct Test {
    std::vector<std::uint8_t> outcomes;  // one a suspect, from 0
    double cost = 1;                     // above 0: taken now
  };
  std::vector<double> shares;         // how likely each suspect is; in any unit. At most 64
  std::vector<std::uint32_t> groups;  // of each suspect; empty: each its own
  std::vector<Test> tests;
  std::vector<double> after;  // row by row: what a test costs after another; empty: as now
  double sure = 1;            // asking ends when one group has this share of what is left
};

struct Choice {
  std::size_t test = 0;
  double cost = 0;     // expected, from now to the end
  bool exact = false;  // no order of tests costs less
};

// None: it is sure enough, or no test parts what is left. `budget` is how many tests may be tried in how many sets of
// suspects before the search settles for less; it bounds the time. Throws std::logic_error for more than 64 suspects, for a test
// that has not an outcome for each of them or costs nothing, and where `after` has not a cost for each two tests.
std::optional<Choice> best_next(const Inquiry& inquiry, std::size_t budget = 100'000);

// No order of yes-or-no tests that tell these apart needs fewer on average: the length of Huffman's code.
double least_tests(const std::vector<double>& shares);

}  // namespace lugwise
