#include "support/inquiry.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

namespace lugwise::test {
namespace {

double total_of(const Inquiry& inquiry) {
  return std::accumulate(inquiry.shares.begin(), inquiry.shares.end(), 0.0);
}

std::map<std::size_t, double> by_group(const Inquiry& inquiry) {
  std::map<std::size_t, double> shares;
  for (std::size_t i = 0; i < inquiry.shares.size(); ++i)
    if (inquiry.shares[i] > 0) shares[inquiry.groups.empty() ? i : inquiry.groups[i]] += inquiry.shares[i];
  return shares;
}

double entropy_of(const Inquiry& inquiry) {
  const double total = total_of(inquiry);
  double bits = 0;
  for (const auto& [group, share] : by_group(inquiry)) bits -= share / total * std::log2(share / total);
  return bits;
}

std::set<std::uint8_t> outcomes_left(const Inquiry& inquiry, std::size_t test) {
  std::set<std::uint8_t> outcomes;
  for (std::size_t i = 0; i < inquiry.shares.size(); ++i)
    if (inquiry.shares[i] > 0) outcomes.insert(inquiry.tests[test].outcomes[i]);
  return outcomes;
}

double bits_of(const Inquiry& inquiry, std::size_t test) {
  double bits = entropy_of(inquiry);
  for (std::uint8_t outcome : outcomes_left(inquiry, test)) {
    const Inquiry rest = after_outcome(inquiry, test, outcome);
    bits -= total_of(rest) / total_of(inquiry) * entropy_of(rest);
  }
  return bits;
}

}  // namespace

Inquiry after_outcome(const Inquiry& inquiry, std::size_t test, std::uint8_t outcome) {
  Inquiry rest = inquiry;
  for (std::size_t i = 0; i < rest.shares.size(); ++i) {
    const std::uint8_t shows = inquiry.tests[test].outcomes[i];
    if (shows != outcome && shows != kAnyOutcome) rest.shares[i] = 0;
  }
  if (!inquiry.after.empty()) {
    for (std::size_t t = 0; t < rest.tests.size(); ++t)
      rest.tests[t].cost = inquiry.after[test * rest.tests.size() + t];
  }
  return rest;
}

double greedy_cost(const Inquiry& inquiry) {
  const double total = total_of(inquiry);
  for (const auto& [group, share] : by_group(inquiry))
    if (share >= inquiry.sure * total * (1 - 1e-12)) return 0;
  std::size_t best = inquiry.tests.size();
  double most = 0;
  for (std::size_t t = 0; t < inquiry.tests.size(); ++t) {
    if (outcomes_left(inquiry, t).size() < 2) continue;
    const double score = std::round(std::max(bits_of(inquiry, t), 0.0) / inquiry.tests[t].cost * 1e9);
    if (best < inquiry.tests.size() && score <= most) continue;
    best = t;
    most = score;
  }
  if (best == inquiry.tests.size()) return 0;
  double sum = inquiry.tests[best].cost;
  for (std::uint8_t outcome : outcomes_left(inquiry, best)) {
    const Inquiry rest = after_outcome(inquiry, best, outcome);
    sum += total_of(rest) / total * greedy_cost(rest);
  }
  return sum;
}

}  // namespace lugwise::test
