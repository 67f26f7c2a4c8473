// What must hold of every inquiry, on many drawn at random, against a plain search without bound or memory.

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <set>

#include "sequence/rollout.h"
#include "sequence/sequence.h"
#include "support/catch.h"
#include "support/inquiry.h"

using namespace lugwise;
using namespace lugwise::test;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

double group_share(const Inquiry& inquiry, double total) {
  double most = 0;
  for (std::size_t g = 0; g < inquiry.shares.size(); ++g) {
    double share = 0;
    for (std::size_t i = 0; i < inquiry.shares.size(); ++i) {
      const std::size_t group = inquiry.groups.empty() ? i : inquiry.groups[i];
      share += group == g ? inquiry.shares[i] : 0;
    }
    most = std::max(most, share / total);
  }
  return most;
}

bool parts(const Inquiry& inquiry, std::size_t test) {
  std::set<std::uint8_t> shown;
  for (std::size_t i = 0; i < inquiry.shares.size(); ++i) {
    if (inquiry.shares[i] > 0) shown.insert(inquiry.tests[test].outcomes[i]);
  }
  return shown.size() > 1;
}

// Every test in every order; of those that part what is left.
double plain_least(const Inquiry& inquiry) {
  const double total = std::accumulate(inquiry.shares.begin(), inquiry.shares.end(), 0.0);
  if (group_share(inquiry, total) >= inquiry.sure - 1e-12) return 0;
  double best = std::numeric_limits<double>::infinity();
  for (std::size_t t = 0; t < inquiry.tests.size(); ++t) {
    if (!parts(inquiry, t)) continue;
    double sum = inquiry.tests[t].cost;
    for (std::uint8_t outcome = 0; outcome < 3; ++outcome) {
      const Inquiry rest = after_outcome(inquiry, t, outcome);
      const double share = std::accumulate(rest.shares.begin(), rest.shares.end(), 0.0);
      if (share > 0) sum += share / total * plain_least(rest);
    }
    best = std::min(best, sum);
  }
  return std::isinf(best) ? 0 : best;
}

Inquiry drawn(std::mt19937& random, bool handling, double sure) {
  std::uniform_real_distribution<double> even(0.05, 1);
  std::uniform_int_distribution<int> outcome(0, 2);
  Inquiry inquiry;
  inquiry.sure = sure;
  for (int i = 0; i < 5; ++i) {
    inquiry.shares.push_back(even(random));
    inquiry.groups.push_back(static_cast<std::uint32_t>(i < 2 ? 0 : i));
  }
  for (int t = 0; t < 4; ++t) {
    Inquiry::Test test{{}, even(random)};
    for (int i = 0; i < 5; ++i) test.outcomes.push_back(static_cast<std::uint8_t>(outcome(random)));
    inquiry.tests.push_back(test);
  }
  for (int k = 0; handling && k < 16; ++k) inquiry.after.push_back(even(random));
  return inquiry;
}

}  // namespace

TEST_CASE("the exact search agrees with trying everything, and nothing costs less", "[sequence]") {
  std::mt19937 random(5);
  for (int round = 0; round < 120; ++round) {
    const Inquiry inquiry = drawn(random, round % 2 == 1, round % 3 == 0 ? 0.8 : 1);
    INFO("round " << round);
    const std::optional<Choice> best = best_next(inquiry, 10'000'000);
    const double least = plain_least(inquiry);
    CHECK_THAT((best ? best->cost : 0), WithinAbs(least, 1e-12));
    CHECK(greedy_cost(inquiry) >= least - 1e-12);
    if (const std::optional<Choice> rolled = rollout_next(inquiry)) {
      CHECK(rolled->cost >= least - 1e-12);
      CHECK(rolled->cost <= greedy_cost(inquiry) + 1e-12);
    }
  }
}

TEST_CASE("no probe is asked for where one group is sure enough, or nothing parts what is left",
          "[sequence]") {
  Inquiry inquiry;
  inquiry.shares = {0.95, 0.05};
  inquiry.tests = {{{0, 1}, 1}};
  CHECK(best_next(inquiry));
  inquiry.sure = 0.9;
  CHECK_FALSE(best_next(inquiry));
  inquiry.sure = 1;
  inquiry.groups = {0, 0};
  CHECK_FALSE(best_next(inquiry));
  inquiry.groups.clear();
  inquiry.tests = {{{1, 1}, 1}};
  CHECK_FALSE(best_next(inquiry));
  CHECK_FALSE(best_next(Inquiry{}));
}

TEST_CASE("a dear test comes after a cheap one that may save it", "[sequence]") {
  // Opening costs 100. Outside a probe for 1 tells the likeliest from the rest.
  Inquiry inquiry;
  inquiry.shares = {0.5, 0.25, 0.25};
  inquiry.tests = {{{0, 1, 2}, 101}, {{0, 1, 1}, 1}};
  const std::optional<Choice> best = best_next(inquiry);
  REQUIRE(best);
  CHECK(best->test == 1);
  CHECK_THAT(best->cost, WithinRel(1 + 0.5 * 101, 1e-9));
}

TEST_CASE("an inquiry that makes no sense is refused", "[sequence]") {
  Inquiry inquiry;
  inquiry.shares = std::vector<double>(65, 1);
  CHECK_THROWS_AS(best_next(inquiry), std::logic_error);
  inquiry.shares = {1, 1};
  inquiry.tests = {{{0}, 1}};
  CHECK_THROWS_AS(best_next(inquiry), std::logic_error);
  inquiry.tests = {{{0, 1}, 0}};
  CHECK_THROWS_AS(best_next(inquiry), std::logic_error);
}

// The two tests part the suspects into shares that are the same three numbers, added in another order: only the last bit of
// their sums may differ.
TEST_CASE(
    "Of two tests that are worth the same the one named first is taken, in whichever order sums are made") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> share(0.05, 1);
  for (int trial = 0; trial < 1000; ++trial) {
    const double x = share(random), y = share(random), z = share(random);
    const std::vector<std::uint8_t> plain = {0, 0, 0, 1, 1, 1}, crossed = {0, 1, 0, 1, 0, 1};
    Inquiry inquiry;
    inquiry.shares = {x, y, z, x, y, z};
    CAPTURE(trial, x, y, z);
    for (const bool turned : {false, true}) {
      inquiry.tests.clear();
      for (const auto& outcomes : {turned ? crossed : plain, turned ? plain : crossed}) {
        Inquiry::Test test;
        test.outcomes = outcomes;
        test.cost = 10;
        inquiry.tests.push_back(test);
      }
      CHECK(best_next(inquiry, 100000)->test == 0);
      CHECK(rollout_next(inquiry, 24)->test == 0);
    }
  }
}
