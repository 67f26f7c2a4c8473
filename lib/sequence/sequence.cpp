#include "sequence/sequence.h"

#include <queue>

#include "sequence/inside/search.h"

namespace lugwise {

using namespace sequence::inside;

namespace {

// Tests looked at where the exact search takes too long.
constexpr std::size_t kWide = 24;

}  // namespace

std::optional<Choice> best_next(const Inquiry& inquiry, std::size_t budget) {
  Search search(inquiry);
  const Left left = search.all();
  try {
    const Choice best = search.exact(left, kNone, budget);
    if (best.test == kNone) return std::nullopt;
    return best;
  } catch (const OutOfBudget&) {
    return search.rollout(left, kWide);
  }
}

double least_tests(const std::vector<double>& shares) {
  std::priority_queue<double, std::vector<double>, std::greater<>> heap;
  double total = 0;
  for (double share : shares) {
    if (share > 0) heap.push(share);
    total += share;
  }
  double sum = 0;
  while (heap.size() > 1) {
    const double least = heap.top();
    heap.pop();
    const double both = least + heap.top();
    heap.pop();
    sum += both;
    heap.push(both);
  }
  return total > 0 ? sum / total : 0;
}

}  // namespace lugwise
