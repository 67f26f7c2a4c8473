#include "match/match.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>

#include "component/copper.h"

namespace lugwise {
namespace {

// Up to so many pickups of a group all choices are weighed; of more, so many at a time.
constexpr std::size_t kAllWeighed = 16;

// Of more, each set is made anew together with so many of those after it in the order of their ohms, and with so many that are left
// over; again until nothing gets better, and so often at most.
constexpr std::size_t kMadeAnewWith = 24;
constexpr std::size_t kRunsOf = 24;  // sets that are also made anew in longer runs
constexpr std::size_t kLeftOver = 4;
constexpr int kRounds = 30;

const Range& range_of(const Meter& meter, const MeasuredCoil& coil) {
  if (coil.range) {
    if (const Range* range = meter.find_range(*coil.range)) return *range;
  }
  return range_for(meter, coil.reads);
}

double least_digit(const Meter& meter, const MeasuredCoil& coil) {
  return std::max(coil.resolution, meter.step(range_of(meter, coil))) / 2;
}

Ohms leads_of(const Meter& meter) { return (meter.leads_low + meter.leads_high) / 2; }

struct Measured {
  Ohms ohms = 0;     // less the leads, at its own temperature
  Ohms digits = 0;   // what the digits may be off
  double share = 0;  // what the range's gain may be off
  double top = 0;    // of the range
};

Measured measured(const Meter& meter, const MeasuredCoil& coil) {
  const Range& range = range_of(meter, coil);
  return {std::max(0.0, coil.reads - leads_of(meter)),
          range.digits * meter.step(range) + least_digit(meter, coil), range.share, range.top};
}

// All coils in series: what is off in digits adds up.
Measured measured(const Meter& meter, const MeasuredPickup& pickup) {
  Measured sum;
  for (const MeasuredCoil& coil : pickup.coils) {
    const Measured one = measured(meter, coil);
    sum.ohms += one.ohms;
    sum.digits += one.digits;
    sum.share = std::max(sum.share, one.share);
    sum.top = sum.top == 0 || sum.top == one.top ? one.top : -1;  // -1: on several ranges
  }
  return sum;
}

double factor_of(std::optional<double> celsius) { return copper_factor(celsius.value_or(20)); }

// How far the factor may be off where the temperature isn't known.
double spread_of(std::optional<double> celsius) {
  if (celsius) return 0;
  return std::max(1 / copper_factor(kColdest) - 1, 1 - 1 / copper_factor(kWarmest));
}

Ratio ratio_of(const Meter& meter, const Measured& one, const Measured& other,
               std::optional<double> one_celsius, std::optional<double> other_celsius) {
  Ratio ratio;
  const double first = one.ohms / factor_of(one_celsius);
  const double second = other.ohms / factor_of(other_celsius);
  if (first <= 0 || second <= 0) return {std::numeric_limits<double>::infinity(), 0};
  ratio.ratio = second / first;
  double off = one.digits / one.ohms + other.digits / other.ohms;
  // The leads are the same for both, so they matter only as far as the two differ.
  const double leads = (meter.leads_high - meter.leads_low) / 2;
  off += std::abs(leads / one.ohms - leads / other.ohms);
  // The gain of one range is off alike for both.
  if (one.top != other.top || one.top < 0) off += one.share + other.share;
  const bool same_room = one_celsius == other_celsius;
  off += kStandardCopper.rise * (same_room ? kSameRoom : 2 * kSameRoom);
  if (!one_celsius && !same_room) off += spread_of(one_celsius);
  if (!other_celsius && !same_room) off += spread_of(other_celsius);
  ratio.off = ratio.ratio * off;
  return ratio;
}

// The distance from the rule in steps that no last bit of a logarithm can tip.
std::int64_t cost_of(double far) { return std::llround(far * 1e9); }

struct Choice {
  std::size_t sets = 0;
  std::int64_t cost = 0;
  bool better_than(const Choice& other) const {
    return sets != other.sets ? sets > other.sets : cost < other.cost;
  }
};

// The best choice of sets out of a few pickups, in the order of their ohms: by what is still to be placed, the first of it is
// left out or goes with others.
class Chooser {
 public:
  Chooser(const std::vector<Ohms>& ohms, std::size_t size)
      : ohms_(ohms), size_(size), known_(std::size_t{1} << ohms.size()) {}

  std::vector<std::vector<std::size_t>> choose() {
    std::uint32_t left = (1U << ohms_.size()) - 1;
    best(left);
    std::vector<std::vector<std::size_t>> sets;
    while (left != 0) {
      const std::uint32_t taken = known_[left].taken;
      if (members(taken).size() == size_) sets.push_back(members(taken));
      left &= ~taken;
    }
    return sets;
  }

 private:
  struct Known {
    Choice choice;
    std::uint32_t taken = 0;
  };

  static std::vector<std::size_t> members(std::uint32_t set) {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; set >> i != 0; ++i) {
      if (set >> i & 1U) found.push_back(i);
    }
    return found;
  }

  Choice best(std::uint32_t left) {
    if (left == 0) return {};
    if (known_[left].taken != 0) return known_[left].choice;
    std::uint32_t first = 1;
    while (!(left & first)) first <<= 1;
    Known known{best(left & ~first), first};
    std::vector<std::size_t> others = members(left & ~first);
    const auto consider = [&](std::uint32_t set) {
      std::vector<Ohms> ohms;
      for (std::size_t i : members(set)) ohms.push_back(ohms_[i]);
      const auto far = distance_from_rule(ohms);
      if (!far) return;
      Choice choice = best(left & ~set);
      ++choice.sets;
      choice.cost += cost_of(*far);
      if (choice.better_than(known.choice)) known = {choice, set};
    };
    for (std::size_t i = 0; i < others.size(); ++i) {
      if (size_ == 2) consider(first | 1U << others[i]);
      for (std::size_t j = i + 1; size_ == 3 && j < others.size(); ++j)
        consider(first | 1U << others[i] | 1U << others[j]);
    }
    known_[left] = known;
    return known.choice;
  }

  const std::vector<Ohms>& ohms_;
  std::size_t size_;
  std::vector<Known> known_;  // by what is left; nothing taken: not known yet
};

using Sets = std::vector<std::vector<std::size_t>>;

// The best sets out of these few, which stand in the order of their ohms.
Sets chosen(const std::vector<Ohms>& ohms, const std::vector<std::size_t>& among, std::size_t size) {
  std::vector<Ohms> few;
  for (const std::size_t i : among) few.push_back(ohms[i]);
  Sets sets = Chooser(few, size).choose();
  for (std::vector<std::size_t>& set : sets) {
    for (std::size_t& i : set) i = among[i];
  }
  return sets;
}

Choice choice_of(const std::vector<Ohms>& ohms, const Sets& sets) {
  Choice choice;
  for (const std::vector<std::size_t>& set : sets) {
    std::vector<Ohms> in_set;
    for (const std::size_t i : set) in_set.push_back(ohms[i]);
    ++choice.sets;
    choice.cost += cost_of(*distance_from_rule(in_set));
  }
  return choice;
}

// Good sets out of many, in the order of their ohms: dealt out to tables of a few, so that each table has low and high ones, and
// then made anew two at a time, with some that are left over, as long as that makes more sets or closer ones.
class Dealer {
 public:
  Dealer(const std::vector<Ohms>& ohms, std::size_t size) : ohms_(ohms), size_(size) {}

  Sets choose() {
    const std::size_t tables = (ohms_.size() + kAllWeighed - 1) / kAllWeighed;
    for (std::size_t table = 0; table < tables; ++table) {
      std::vector<std::size_t> among;
      for (std::size_t i = table; i < ohms_.size(); i += tables) among.push_back(i);
      for (std::vector<std::size_t>& set : chosen(ohms_, among, size_)) sets_.push_back(std::move(set));
    }
    for (int round = 0; round < kRounds && improve(); ++round) {
    }
    return sets_;
  }

 private:
  // Whether some two sets were made anew.
  bool improve() {
    bool better = false;
    std::sort(sets_.begin(), sets_.end());
    for (std::size_t one = 0; one < sets_.size(); ++one) {
      for (std::size_t with = 1; with <= kMadeAnewWith && one + with < sets_.size(); ++with)
        better = make_anew({one, one + with}) || better;
    }
    for (std::size_t one = 0; one < sets_.size(); ++one) better = make_anew({one}) || better;
    better = make_anew({}) || better;
    return better || improve_runs();
  }

  // As many sets at once as can be weighed, in a row and with one of them left out for the next: what no two can better.
  bool improve_runs() {
    const std::size_t length = kAllWeighed / size_;
    bool better = false;
    for (std::size_t from = 0; from < sets_.size() && sets_.size() <= kRunsOf; from += length / 4) {
      const std::size_t end = std::min(sets_.size(), from + length + 1);
      for (std::size_t without = from; without < end; without += 2) {
        std::vector<std::size_t> which;
        for (std::size_t i = from; i < end; ++i) {
          if (i != without) which.push_back(i);
        }
        better = (which.size() <= length && make_anew(which)) || better;
      }
      if (end == sets_.size()) break;
    }
    return better;
  }

  // These sets and some of what is left over, the nearest to them first.
  bool make_anew(const std::vector<std::size_t>& which) {
    Sets before;
    std::vector<std::size_t> among;
    for (const std::size_t i : which) {
      before.push_back(sets_[i]);
      among.insert(among.end(), sets_[i].begin(), sets_[i].end());
    }
    std::vector<std::size_t> left = left_over();
    const std::size_t wanted = which.empty()       ? kAllWeighed
                               : which.size() == 1 ? 2 * kLeftOver
                               : which.size() == 2 ? kLeftOver
                                                   : 0;
    if (!among.empty()) {
      const auto middle = static_cast<std::ptrdiff_t>(among[among.size() / 2]);
      std::stable_sort(left.begin(), left.end(), [&](std::size_t x, std::size_t y) {
        return std::abs(static_cast<std::ptrdiff_t>(x) - middle) <
               std::abs(static_cast<std::ptrdiff_t>(y) - middle);
      });
    }
    left.resize(std::min(left.size(), wanted));
    among.insert(among.end(), left.begin(), left.end());
    std::sort(among.begin(), among.end());
    Sets after = chosen(ohms_, among, size_);
    if (!choice_of(ohms_, after).better_than(choice_of(ohms_, before))) return false;
    for (std::size_t i = 0; i < after.size(); ++i) {
      if (i < which.size()) {
        sets_[which[i]] = after[i];
      } else {
        sets_.push_back(after[i]);
      }
    }
    return true;
  }

  std::vector<std::size_t> left_over() const {
    std::vector<char> used(ohms_.size(), 0);
    for (const std::vector<std::size_t>& set : sets_) {
      for (const std::size_t i : set) used[i] = 1;
    }
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < used.size(); ++i) {
      if (!used[i]) left.push_back(i);
    }
    return left;
  }

  const std::vector<Ohms>& ohms_;
  std::size_t size_;
  Sets sets_;
};

ProposedSet proposed(const Lot& lot, const std::vector<std::size_t>& pickups) {
  ProposedSet set;
  set.pickups = pickups;
  for (std::size_t i = 0; i + 1 < pickups.size(); ++i) {
    set.steps.push_back(ratio_of(lot.meter, lot.pickups[pickups[i]], lot.pickups[pickups[i + 1]]));
    set.sure = set.sure && set.steps.back().ratio - set.steps.back().off > 1;
  }
  return set;
}

Proposal propose(const Lot& lot, const Matching& matching, std::vector<std::size_t> pickups,
                 std::size_t size) {
  std::stable_sort(pickups.begin(), pickups.end(), [&](std::size_t x, std::size_t y) {
    return matching.whole[x].ohms < matching.whole[y].ohms;
  });
  std::vector<Ohms> ohms;
  for (const std::size_t p : pickups) ohms.push_back(matching.whole[p].ohms);
  Proposal proposal;
  proposal.size = size;
  proposal.best = pickups.size() <= kAllWeighed;
  Sets sets = proposal.best ? Chooser(ohms, size).choose() : Dealer(ohms, size).choose();
  std::sort(sets.begin(), sets.end());
  std::stable_sort(sets.begin(), sets.end(), [&](const auto& one, const auto& other) {
    return choice_of(ohms, {one}).cost < choice_of(ohms, {other}).cost;
  });
  std::vector<char> used(pickups.size(), 0);
  for (const std::vector<std::size_t>& set : sets) {
    std::vector<std::size_t> members;
    for (const std::size_t i : set) {
      members.push_back(pickups[i]);
      used[i] = 1;
    }
    proposal.sets.push_back(proposed(lot, members));
  }
  for (std::size_t i = 0; i < pickups.size(); ++i) {
    if (!used[i]) proposal.left.push_back(pickups[i]);
  }
  return proposal;
}

}  // namespace

At20 at_20(const Meter& meter, const MeasuredCoil& coil, std::optional<double> celsius) {
  const Measured one = measured(meter, coil);
  const double leads = (meter.leads_high - meter.leads_low) / 2;
  At20 result;
  result.ohms = one.ohms / factor_of(celsius);
  const double shares = one.share + (celsius ? kStandardCopper.rise * kSameRoom : spread_of(celsius));
  result.off = (one.digits + leads) / factor_of(celsius) + result.ohms * shares;
  return result;
}

Ratio ratio_of(const Meter& meter, const MeasuredPickup& one, const MeasuredPickup& other) {
  return ratio_of(meter, measured(meter, one), measured(meter, other), one.temperature, other.temperature);
}

std::optional<double> distance_from_rule(const std::vector<Ohms>& ohms) {
  double far = 0;
  for (std::size_t i = 0; i + 1 < ohms.size(); ++i) {
    if (!(ohms[i] > 0)) return std::nullopt;
    const double ratio = ohms[i + 1] / ohms[i];
    if (!(ratio >= 1 && ratio <= 1 + kMostStep)) return std::nullopt;
    const double off = std::log(ratio) - std::log(1 + kSetStep);
    far += off * off;
  }
  return far;
}

Matching match(const Lot& lot) {
  Matching matching;
  for (std::size_t p = 0; p < lot.pickups.size(); ++p) {
    const MeasuredPickup& pickup = lot.pickups[p];
    std::vector<At20> coils;
    At20 whole;
    for (const MeasuredCoil& coil : pickup.coils) {
      coils.push_back(at_20(lot.meter, coil, pickup.temperature));
      whole.ohms += coils.back().ohms;
      whole.off += coils.back().off;
    }
    for (std::size_t i = 0; i < pickup.coils.size(); ++i) {
      for (std::size_t j = i + 1; j < pickup.coils.size(); ++j) {
        const bool swapped = coils[j].ohms < coils[i].ohms;
        CoilPair pair{p, swapped ? j : i, swapped ? i : j, {}, false};
        pair.ratio =
            ratio_of(lot.meter, measured(lot.meter, pickup.coils[pair.one]),
                     measured(lot.meter, pickup.coils[pair.other]), pickup.temperature, pickup.temperature);
        pair.apart = pair.ratio.ratio - pair.ratio.off > 1 + kCoilsApart;
        matching.coils.push_back(pair);
      }
    }
    matching.at_20.push_back(std::move(coils));
    matching.whole.push_back(whole);
  }
  std::vector<std::string> groups;
  for (const MeasuredPickup& pickup : lot.pickups) {
    if (std::find(groups.begin(), groups.end(), pickup.group) == groups.end()) groups.push_back(pickup.group);
  }
  for (const std::string& group : groups) {
    std::vector<std::size_t> members;
    for (std::size_t p = 0; p < lot.pickups.size(); ++p) {
      if (lot.pickups[p].group == group) members.push_back(p);
    }
    for (const std::size_t size : lot.sizes) {
      if (members.size() < size) continue;
      matching.proposals.push_back(propose(lot, matching, members, size));
      matching.proposals.back().group = group;
    }
  }
  return matching;
}

}  // namespace lugwise
