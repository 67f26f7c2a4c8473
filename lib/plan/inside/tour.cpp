#include "plan/inside/tour.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace lugwise::plan::inside {

void Tour::clear() {
  stops_.clear();
  known_ = 0;
}

void Tour::pop() {
  stops_.pop_back();
  known_ = std::min(known_, stops_.size());
}

double Tour::seconds() {
  for (; known_ < stops_.size(); ++known_) tabulate(known_);
  const std::size_t all = (std::size_t{1} << stops_.size()) - 1;
  return ends_[all * kMost + best_end()];
}

std::size_t Tour::best_end() const {
  const std::size_t all = (std::size_t{1} << stops_.size()) - 1;
  std::size_t last = 0;
  for (std::size_t i = 1; i < stops_.size(); ++i) {
    if (ends_[all * kMost + i] < ends_[all * kMost + last]) last = i;
  }
  return last;
}

std::vector<std::size_t> Tour::order() {
  seconds();
  std::size_t last = best_end();
  std::vector<std::size_t> order{last};
  const std::size_t all = (std::size_t{1} << stops_.size()) - 1;
  for (std::size_t done = all ^ std::size_t{1} << last; done != 0;) {
    for (std::size_t i = 0; i < stops_.size(); ++i) {
      if ((done >> i & 1) == 0) continue;
      const double through = ends_[done * kMost + i] + leg_[last * kMost + i];
      if (std::abs(through - ends_[(done | std::size_t{1} << last) * kMost + last]) > kHair) continue;
      order.push_back(i);
      done ^= std::size_t{1} << i;
      last = i;
      break;
    }
  }
  std::reverse(order.begin(), order.end());
  return order;
}

// All sets of the first stops with one more, which comes after them.
void Tour::tabulate(std::size_t one) {
  leg_.resize(kMost * kMost);
  for (std::size_t i = 0; i < one; ++i) {
    leg_[one * kMost + i] = legs_.between(*stops_[i], *stops_[one]);
    leg_[i * kMost + one] = legs_.between(*stops_[one], *stops_[i]);
  }
  const std::size_t bit = std::size_t{1} << one;
  if (ends_.size() < 2 * bit * kMost) ends_.resize(2 * bit * kMost);
  ends_[bit * kMost + one] = legs_.first(*stops_[one]);
  const auto end_at = [&](std::size_t set, std::size_t last) {
    double least = HUGE_VAL;
    const std::size_t before = set & ~(std::size_t{1} << last);
    const double* const ends = ends_.data() + before * kMost;
    const double* const leg = leg_.data() + last * kMost;
    for (std::size_t left = before; left != 0; left &= left - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(left));
      least = std::min(least, ends[i] + leg[i]);
    }
    ends_[set * kMost + last] = least;
  };
  for (std::size_t set = bit + 1; set < 2 * bit; ++set) {
    for (std::size_t left = set; left != 0; left &= left - 1)
      end_at(set, static_cast<std::size_t>(std::countr_zero(left)));
  }
}

}  // namespace lugwise::plan::inside
