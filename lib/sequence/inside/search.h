// The search behind best_next(): exact, greedy, and greed looked ahead by one test. Private to this room.
#pragma once

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <stdexcept>
#include <unordered_map>
#include <utility>

#include "sequence/sequence.h"

namespace lugwise::sequence::inside {

inline constexpr std::size_t kNone = ~std::size_t{0};
inline constexpr std::size_t kMostSuspects = 64;

// Below this share of the whole a suspect is as good as ruled out.
inline constexpr double kNothing = 1e-12;

// Less than this says nothing.
inline constexpr double kNoBits = 1e-9;

// What is compared is equal where it differs by less than this, and then the test that was named first is taken: the last
// bits of a sum or a logarithm differ with its order and from one processor to the next, and the choice must not. Two values
// are compared by the share between them; to put many in order each is told in whole steps, as nearness alone is no order.
inline constexpr double kEqual = 1e-9;
inline bool clearly_less(double x, double y) { return x * (1 + kEqual) < y; }
inline double in_steps(double value) { return std::round(value / kEqual); }

inline double plogp(double p) { return p > 0 ? p * std::log2(p) : 0; }

// What is left: the suspects' shares. Where no outcome is open the set alone says it.
struct Left {
  std::uint64_t set = 0;
  std::vector<double> shares;
  double total = 0;
  std::vector<char> taken;  // tests, only where outcomes are open: taken again, one shows the same
};

struct Key {
  std::uint64_t set = 0;
  std::size_t before = kNone;
  std::vector<double> shares;  // only where outcomes are open, as is the next; relative to the whole
  std::vector<char> taken;
  friend bool operator==(const Key&, const Key&) = default;
};
struct KeyHash {
  std::size_t operator()(const Key& key) const {
    std::uint64_t hash = key.set * 0x9e3779b97f4a7c15ULL ^ (key.before + 0x7f4a7c15);
    for (double share : key.shares) {
      std::uint64_t bits = 0;  // std::bit_cast is not everywhere yet
      static_assert(sizeof bits == sizeof share);
      std::memcpy(&bits, &share, sizeof bits);
      hash = (hash ^ bits) * 0xff51afd7ed558ccdULL;
    }
    return static_cast<std::size_t>(hash ^ (hash >> 32));
  }
};

struct OutOfBudget {};

class Search {
 public:
  explicit Search(const Inquiry& inquiry) : inquiry_(inquiry) {
    const std::size_t n = inquiry.shares.size();
    if (n > kMostSuspects) throw std::logic_error("too many suspects for one inquiry");
    if (!inquiry.after.empty() && inquiry.after.size() != inquiry.tests.size() * inquiry.tests.size())
      throw std::logic_error("costs after another test are not one for each two tests");
    group_ = inquiry.groups;
    if (group_.empty()) {
      for (std::size_t i = 0; i < n; ++i) group_.push_back(static_cast<std::uint32_t>(i));
    }
    groups_ = group_.empty() ? 0 : *std::max_element(group_.begin(), group_.end()) + 1;
    for (const Inquiry::Test& test : inquiry.tests) {
      if (test.outcomes.size() != n || !(test.cost > 0))
        throw std::logic_error("a test that says or costs nothing");
      std::uint8_t most = 0;
      for (std::uint8_t outcome : test.outcomes) {
        if (outcome == kAnyOutcome)
          open_ = true;
        else
          most = std::max(most, outcome);
      }
      kinds_.push_back(static_cast<std::size_t>(most) + 1);
      widest_ = std::max(widest_, kinds_.back());
      cheapest_ = std::min(cheapest_, test.cost);
    }
    for (double cost : inquiry.after) cheapest_ = std::min(cheapest_, cost);
    sort_alike();
  }

  Left all() const {
    Left left{0, inquiry_.shares, 0, {}};
    if (open_) left.taken.assign(inquiry_.tests.size(), 0);
    for (std::size_t i = 0; i < left.shares.size(); ++i) {
      if (left.shares[i] > 0) left.set |= std::uint64_t{1} << i;
      left.total += left.shares[i];
    }
    return left;
  }

  double cost(std::size_t before, std::size_t test) const {
    if (before == kNone || inquiry_.after.empty()) return inquiry_.tests[test].cost;
    return inquiry_.after[before * inquiry_.tests.size() + test];
  }

  // One group has it, or nearly.
  bool done(const Left& left) const {
    double most = 0;
    for (double share : by_group(left)) most = std::max(most, share);
    return left.total <= 0 || most >= inquiry_.sure * left.total * (1 - 1e-12);
  }

  // What is left after each outcome of a test; none where it parts nothing.
  std::vector<Left> parts(const Left& left, std::size_t test) const {
    if (open_ && left.taken[test]) return {};
    std::vector<Left> parts(kinds_[test]);
    for (Left& part : parts) {
      part.shares.assign(left.shares.size(), 0);
      part.taken = left.taken;
      if (open_) part.taken[test] = 1;
    }
    const std::vector<std::uint8_t>& outcomes = inquiry_.tests[test].outcomes;
    const auto put = [](Left& part, std::size_t i, double share) {
      part.shares[i] = share;
      part.set |= std::uint64_t{1} << i;
      part.total += share;
    };
    for (std::uint64_t rest = left.set; rest != 0; rest &= rest - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(rest));
      if (outcomes[i] != kAnyOutcome) put(parts[outcomes[i]], i, left.shares[i]);
    }
    // One that may show anything shows what another one shows: an outcome of nobody's tells nothing.
    std::erase_if(parts, [](const Left& part) { return part.set == 0; });
    if (parts.size() < 2) return {};
    for (std::uint64_t rest = left.set; rest != 0; rest &= rest - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(rest));
      if (outcomes[i] != kAnyOutcome) continue;
      for (Left& part : parts) put(part, i, left.shares[i] / static_cast<double>(parts.size()));
    }
    return parts;
  }

  // Bits that a test's outcome says about the group.
  double bits(const Left& left, const std::vector<Left>& parts) const {
    double known = group_entropy(left);
    for (const Left& part : parts) known -= part.total / left.total * group_entropy(part);
    return known;
  }

  // What all tests together would still say about the group.
  double left_to_say(const Left& left) const {
    double known = group_entropy(left);
    std::vector<Left> alike(classes_);
    for (std::uint64_t rest = left.set; rest != 0; rest &= rest - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(rest));
      Left& part = alike[class_[i]];
      if (part.set == 0) part.shares.assign(left.shares.size(), 0);
      part.set |= std::uint64_t{1} << i;
      part.shares[i] = left.shares[i];
      part.total += left.shares[i];
    }
    for (const Left& part : alike) {
      if (std::popcount(part.set) > 1) known -= part.total / left.total * group_entropy(part);
    }
    return known;
  }

  // No search ends for less: the cheapest test, once, or as often as its widest outcome needs to say all there is to say.
  double floor(const Left& left) const {
    if (done(left)) return 0;
    if (open_) return 0;
    const double bits = left_to_say(left);
    if (bits < kNoBits) return 0;
    if (inquiry_.sure < 1) return cheapest_;
    return cheapest_ * std::max(1.0, bits / std::log2(static_cast<double>(widest_)));
  }

  // Whether a test is worth taking where it says nothing by itself: together with others it may.
  bool useless(const Left& left, const std::vector<Left>& parts) const {
    return parts.empty() || (open_ && bits(left, parts) < kNoBits);
  }

  // The best next test and its cost to the end, exactly. Throws OutOfBudget.
  Choice exact(const Left& left, std::size_t before, std::size_t& budget) {
    if (done(left) || (!open_ && left_to_say(left) < kNoBits)) return {kNone, 0, true};
    Key key{left.set, inquiry_.after.empty() ? kNone : before, {}, left.taken};
    if (open_) {
      for (double share : left.shares) key.shares.push_back(share / left.total);
    }
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second;

    struct Option {
      double promise;
      std::size_t test;
      std::vector<Left> parts;
    };
    std::vector<Option> options;
    for (std::size_t t = 0; t < inquiry_.tests.size(); ++t) {
      std::vector<Left> parts = this->parts(left, t);
      if (useless(left, parts)) continue;
      if (budget-- == 0) throw OutOfBudget{};
      double least = cost(before, t);
      for (const Left& part : parts) least += part.total / left.total * floor(part);
      options.push_back({least, t, std::move(parts)});
    }
    std::stable_sort(options.begin(), options.end(), [](const Option& x, const Option& y) {
      return in_steps(x.promise) < in_steps(y.promise);
    });
    Choice best{kNone, options.empty() ? 0 : std::numeric_limits<double>::infinity(), true};
    for (const Option& option : options) {
      if (!clearly_less(option.promise, best.cost)) break;
      double sum = option.promise;
      for (const Left& part : option.parts) {
        sum += part.total / left.total * (exact(part, option.test, budget).cost - floor(part));
        if (!clearly_less(sum, best.cost)) break;
      }
      if (clearly_less(sum, best.cost)) best = {option.test, sum, true};
    }
    known_.emplace(std::move(key), best);
    return best;
  }

  // The tests that say most for their cost, best first.
  std::vector<std::size_t> promising(const Left& left, std::size_t before, std::size_t most) const {
    std::vector<std::pair<double, std::size_t>> scored;
    for (std::size_t t = 0; t < inquiry_.tests.size(); ++t) {
      const std::vector<Left> parts = this->parts(left, t);
      if (useless(left, parts)) continue;
      scored.emplace_back(in_steps(std::max(bits(left, parts), 0.0) / cost(before, t)), t);
    }
    std::stable_sort(scored.begin(), scored.end(),
                     [](const auto& x, const auto& y) { return x.first > y.first; });
    std::vector<std::size_t> tests;
    for (std::size_t k = 0; k < std::min(most, scored.size()); ++k) tests.push_back(scored[k].second);
    return tests;
  }

  double greedy(const Left& left, std::size_t before) const {
    if (done(left) || (!open_ && left_to_say(left) < kNoBits)) return 0;
    const std::vector<std::size_t> first = promising(left, before, 1);
    if (first.empty()) return 0;
    double sum = cost(before, first.front());
    for (const Left& part : parts(left, first.front()))
      sum += part.total / left.total * greedy(part, first.front());
    return sum;
  }

  std::optional<Choice> rollout(const Left& left, std::size_t wide) const {
    if (done(left) || (!open_ && left_to_say(left) < kNoBits)) return std::nullopt;
    std::optional<Choice> best;
    for (std::size_t test : promising(left, kNone, wide)) {
      double sum = cost(kNone, test);
      for (const Left& part : parts(left, test)) sum += part.total / left.total * greedy(part, test);
      if (!best || clearly_less(sum, best->cost)) best = Choice{test, sum, false};
    }
    return best;
  }

 private:
  // Suspects under which every test shows the same are of one class.
  void sort_alike() {
    for (std::size_t i = 0; i < inquiry_.shares.size(); ++i) {
      std::size_t like = 0;
      const auto as = [&](std::size_t other) {
        return std::all_of(inquiry_.tests.begin(), inquiry_.tests.end(), [&](const Inquiry::Test& test) {
          return test.outcomes[i] == test.outcomes[other];
        });
      };
      while (like < i && !as(like)) ++like;
      class_.push_back(like < i ? class_[like] : classes_++);
    }
  }

  std::vector<double> by_group(const Left& left) const {
    std::vector<double> shares(groups_, 0);
    for (std::uint64_t rest = left.set; rest != 0; rest &= rest - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(rest));
      shares[group_[i]] += left.shares[i];
    }
    return shares;
  }

  double group_entropy(const Left& left) const {
    double bits = 0;
    if (left.total <= kNothing) return 0;
    for (double share : by_group(left)) bits -= plogp(share / left.total);
    return bits;
  }

  const Inquiry& inquiry_;
  std::vector<std::uint32_t> group_;
  std::size_t groups_ = 0;
  std::vector<std::size_t> class_;
  std::size_t classes_ = 0;
  std::vector<std::size_t> kinds_;  // outcomes of each test
  std::size_t widest_ = 2;
  double cheapest_ = std::numeric_limits<double>::infinity();
  bool open_ = false;  // some outcome may be any
  std::unordered_map<Key, Choice, KeyHash> known_;
};

}  // namespace lugwise::sequence::inside
