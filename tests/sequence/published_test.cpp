// Published cases, and rules with a proof, through the search that picks the next probe.

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sequence/rollout.h"
#include "sequence/sequence.h"
#include "support/catch.h"
#include "support/inquiry.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinRel;

namespace {

// The cost to the end of taking the choice again and again, found by walking every outcome.
template <class Choose>
double cost_of(const Inquiry& inquiry, const Choose& choose) {
  const std::optional<Choice> choice = choose(inquiry);
  if (!choice) return 0;
  const std::vector<std::uint8_t>& outcomes = inquiry.tests[choice->test].outcomes;
  const double total = std::accumulate(inquiry.shares.begin(), inquiry.shares.end(), 0.0);
  double sum = inquiry.tests[choice->test].cost;
  for (std::uint8_t outcome = 0; outcome < 8; ++outcome) {
    double share = 0;
    for (std::size_t i = 0; i < outcomes.size(); ++i) share += outcomes[i] == outcome ? inquiry.shares[i] : 0;
    if (share > 0) sum += share / total * cost_of(after_outcome(inquiry, choice->test, outcome), choose);
  }
  return sum;
}

const auto exactly_best = [](const Inquiry& inquiry) { return best_next(inquiry, 100'000'000); };

// K. R. Pattipati, M. G. Alexandridis, "Application of heuristic search and information theory to sequential fault
// diagnosis", IEEE Trans. SMC 20 (1990): the table from memory; exhaustive search on it gives the published 2.18.
Inquiry six_states() {
  Inquiry inquiry;
  inquiry.shares = {0.70, 0.01, 0.02, 0.10, 0.05, 0.12};
  inquiry.tests = {{{0, 0, 0, 1, 1, 1}, 1},
                   {{0, 1, 0, 0, 1, 1}, 1},
                   {{0, 0, 1, 0, 0, 1}, 1},
                   {{0, 0, 1, 1, 0, 1}, 1},
                   {{0, 1, 0, 1, 0, 0}, 1}};
  return inquiry;
}

// A chain of joints probed from one end: test k says whether the fault lies beyond the k-th.
Inquiry chain(const std::vector<double>& shares) {
  Inquiry inquiry;
  inquiry.shares = shares;
  for (std::size_t k = 1; k < shares.size(); ++k) {
    Inquiry::Test test;
    for (std::size_t i = 0; i < shares.size(); ++i) test.outcomes.push_back(i >= k ? 1 : 0);
    inquiry.tests.push_back(std::move(test));
  }
  return inquiry;
}

}  // namespace

TEST_CASE("the six-state example takes 2.18 tests where greed takes 2.86", "[sequence]") {
  const Inquiry inquiry = six_states();
  const std::optional<Choice> best = best_next(inquiry);
  REQUIRE(best);
  CHECK(best->exact);
  CHECK_THAT(best->cost, WithinRel(2.18, 1e-9));
  CHECK_THAT(cost_of(inquiry, exactly_best), WithinRel(2.18, 1e-9));
  CHECK_THAT(greedy_cost(inquiry), WithinRel(2.86, 1e-9));
  // Worked out from the table: entropy and Huffman's bound.
  CHECK_THAT(least_tests(inquiry.shares), WithinRel(1.59, 1e-9));
}

TEST_CASE("rollout finds the six-state example's optimum too", "[sequence]") {
  const auto by_rollout = [](const Inquiry& inquiry) { return rollout_next(inquiry); };
  CHECK_THAT(cost_of(six_states(), by_rollout), WithinRel(2.18, 1e-9));
  // Out of budget, the search says so.
  const std::optional<Choice> hurried = best_next(six_states(), 3);
  REQUIRE(hurried);
  CHECK_FALSE(hurried->exact);
}

TEST_CASE("each first test of the six-state example forces its own cost", "[sequence]") {
  // Worked out by exhaustive dynamic programming over the table above.
  const double forced[] = {2.86, 2.18, 2.82, 2.18, 2.89};
  for (std::size_t t = 0; t < 5; ++t) {
    const Inquiry inquiry = six_states();
    double sum = 1;
    for (const std::uint8_t outcome : {std::uint8_t{0}, std::uint8_t{1}}) {
      const Inquiry rest = after_outcome(inquiry, t, outcome);
      const double share = std::accumulate(rest.shares.begin(), rest.shares.end(), 0.0);
      const std::optional<Choice> next = best_next(rest);
      sum += share * (next ? next->cost : 0);
    }
    CHECK_THAT(sum, WithinRel(forced[t], 1e-9));
  }
}

TEST_CASE("the English alphabet's best alphabetic tree takes 4.1978 tests", "[sequence]") {
  // E. N. Gilbert, E. F. Moore, "Variable-length binary encodings", Bell Syst. Tech. J. 38 (1959): 27 symbols; from memory,
  // and the published averages came out.
  const std::vector<double> letters{1859, 642, 127, 218, 317, 1031, 208, 152, 467, 575, 8,  49,  321, 198,
                                    574,  632, 152, 8,   484, 514,  796, 228, 83,  175, 13, 164, 5};
  const std::optional<Choice> best = best_next(chain(letters), 1'000'000);
  REQUIRE(best);
  CHECK(best->exact);
  CHECK_THAT(best->cost, WithinRel(4.1978, 1e-9));
  CHECK_THAT(least_tests(letters), WithinRel(4.1195, 1e-9));
}

TEST_CASE("a chain of equal joints takes k + 2 - 2^(k+1)/n tests", "[sequence]") {
  for (std::size_t n = 2; n <= 16; ++n) {
    const double k = std::floor(std::log2(static_cast<double>(n)));
    const double closed = k + 2 - std::exp2(k + 1) / static_cast<double>(n);
    const std::optional<Choice> best = best_next(chain(std::vector<double>(n, 1)), 1'000'000);
    REQUIRE(best);
    CHECK_THAT(best->cost, WithinRel(closed, 1e-9));
    CHECK_THAT(least_tests(std::vector<double>(n, 1)), WithinRel(closed, 1e-9));
  }
}

TEST_CASE("unequal chains of five take 2.15 and 2.05 tests", "[sequence]") {
  // Worked out by interval dynamic programming.
  CHECK_THAT(best_next(chain({.05, .10, .60, .15, .10}))->cost, WithinRel(2.15, 1e-9));
  CHECK_THAT(least_tests({.05, .10, .60, .15, .10}), WithinRel(1.80, 1e-9));
  CHECK_THAT(best_next(chain({.40, .30, .15, .10, .05}))->cost, WithinRel(2.05, 1e-9));
  CHECK_THAT(least_tests({.40, .30, .15, .10, .05}), WithinRel(2.05, 1e-9));
}

TEST_CASE("five defects and four threshold tests: in order three tests, by halving two", "[sequence]") {
  // A. Balakrishnan, T. Semmelbauer, "Circuit diagnosis support system for electronics assembly operations", Decision
  // Support Systems 25 (1999), tables 1 and 2: rows 0000, 0001, 0011, 0111, 1111; defect 3.
  Inquiry inquiry;
  inquiry.shares = std::vector<double>(5, 1);
  inquiry.tests = {{{0, 0, 0, 0, 1}, 1}, {{0, 0, 0, 1, 1}, 1}, {{0, 0, 1, 1, 1}, 1}, {{0, 1, 1, 1, 1}, 1}};
  const auto left = [](const Inquiry& one) {
    std::vector<std::size_t> defects;
    for (std::size_t i = 0; i < one.shares.size(); ++i) {
      if (one.shares[i] > 0) defects.push_back(i + 1);
    }
    return defects;
  };
  const Inquiry first = after_outcome(inquiry, 0, 0);
  CHECK(left(first) == std::vector<std::size_t>{1, 2, 3, 4});
  const Inquiry second = after_outcome(first, 1, 0);
  CHECK(left(second) == std::vector<std::size_t>{1, 2, 3});
  const Inquiry third = after_outcome(second, 2, 1);
  CHECK(left(third) == std::vector<std::size_t>{3});
  CHECK_FALSE(best_next(third));
  CHECK(left(after_outcome(after_outcome(inquiry, 1, 0), 2, 1)) == std::vector<std::size_t>{3});
  CHECK_THAT(best_next(inquiry)->cost, WithinRel(12.0 / 5, 1e-9));
}

TEST_CASE("what may show anything is never ruled out: defect 3 in order takes four tests", "[sequence]") {
  // The same source, table 3: rows U U U 0; U U 0 1; U 0 1 1; 0 1 1 1; 1 1 1 1.
  constexpr std::uint8_t kU = kAnyOutcome;
  Inquiry inquiry;
  inquiry.shares = std::vector<double>(5, 1);
  inquiry.tests = {
      {{kU, kU, kU, 0, 1}, 1}, {{kU, kU, 0, 1, 1}, 1}, {{kU, 0, 1, 1, 1}, 1}, {{0, 1, 1, 1, 1}, 1}};
  const auto alone = [](const Inquiry& one) {
    return std::count_if(one.shares.begin(), one.shares.end(), [](double share) { return share > 0; }) == 1;
  };
  const std::uint8_t shown[] = {0, 0, 1, 1};
  Inquiry left = inquiry;
  for (std::size_t t = 0; t < 4; ++t) {
    CHECK_FALSE(alone(left));
    left = after_outcome(left, t, shown[t]);
  }
  CHECK(alone(left));
  CHECK(best_next(inquiry));
}

TEST_CASE("one test for each fault: the likeliest first", "[sequence]") {
  // The same source, section 4.1.1: the rule; the number worked out.
  Inquiry inquiry;
  inquiry.shares = {.40, .30, .15, .10, .05};
  for (std::size_t t = 0; t < 5; ++t) {
    Inquiry::Test test{std::vector<std::uint8_t>(5, 0), 1};
    test.outcomes[t] = 1;
    inquiry.tests.push_back(test);
  }
  const std::optional<Choice> best = best_next(inquiry);
  REQUIRE(best);
  CHECK_THAT(best->cost, WithinRel(2.05, 1e-9));
}
