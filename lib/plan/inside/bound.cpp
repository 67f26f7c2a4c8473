#include "plan/inside/bound.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <numeric>
#include <optional>
#include <string>
#include <unordered_map>
#include <unordered_set>

#include "plan/inside/cover.h"

namespace lugwise::plan::inside {
namespace {

// The candidates' sets, joined by what a plan would have to change between them.
class Groups {
 public:
  explicit Groups(const FaultSet& wanted) : wanted_(wanted) {}

  void add(std::uint64_t key, const std::uint64_t* set) {
    const auto [at, fresh] = place_.try_emplace(key, sets_.size());
    if (fresh) sets_.emplace_back(wanted_.words().size() * 64);
    sets_[at->second] |= set;
  }

  // Each key with its set.
  template <class See>
  void each(See see) const {
    for (const auto& [key, place] : place_) see(key, sets_[place].words().data());
  }

  // How many groups a plan needs at least, besides one that it has anyway.
  std::size_t least(std::optional<std::uint64_t> had = std::nullopt) const {
    FaultSet rest = wanted_;
    if (had) {
      const auto at = place_.find(*had);
      if (at != place_.end()) rest -= sets_[at->second];
    }
    return smallest_cover(sets_, rest).least;
  }

 private:
  const FaultSet& wanted_;
  std::unordered_map<std::uint64_t, std::size_t> place_;
  std::vector<FaultSet> sets_;
};

// The pairs that show each fault, as a graph on the points. A fault's own pairs are picked out as they are asked for: kept for
// all faults they would be the most of a large plan's memory.
class Ends {
 public:
  explicit Ends(const FaultSet& wanted) : wanted_(wanted) {}

  void add(PointId one, PointId other, const std::uint64_t* set) {
    pairs_.push_back({number(one), number(other), set});
  }

  // How many points a plan touches at least. Of the pairs that show a fault it uses one, so it touches every set of points
  // that meets all of them: a few such sets for each fault, and the fewest points that meet those.
  std::size_t least() const {
    const std::size_t points = numbers_.size();
    std::vector<std::vector<std::uint32_t>> covers;
    std::vector<std::size_t> used(points, 0);
    for (const Pair& pair : pairs_) {
      FaultSet shown(pair.set, wanted_.words().size());
      shown &= wanted_;
      used[pair.a] += shown.size();
      used[pair.b] += shown.size();
    }
    std::vector<std::uint32_t> by_use(points);
    std::iota(by_use.begin(), by_use.end(), 0U);
    std::stable_sort(by_use.begin(), by_use.end(),
                     [&](std::uint32_t x, std::uint32_t y) { return used[x] > used[y]; });
    std::vector<std::vector<std::uint32_t>> others(points);
    for (std::size_t f : wanted_.list()) {
      for (auto& list : others) list.clear();
      for (const Pair& pair : pairs_) {
        if ((pair.set[f / 64] >> (f % 64) & 1) == 0) continue;
        others[pair.a].push_back(pair.b);
        others[pair.b].push_back(pair.a);
      }
      std::vector<std::uint32_t> order = by_use;
      for (int way = 0; way < kWays; ++way) {
        covers.push_back(meeting(others, order));
        // From the much used to the little used, back, and then as it comes.
        if (way % 2 == 0) {
          std::reverse(order.begin(), order.end());
        } else {
          std::rotate(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(points / 3), order.end());
        }
      }
    }
    std::sort(covers.begin(), covers.end());
    covers.erase(std::unique(covers.begin(), covers.end()), covers.end());
    FaultSet rows(covers.size());
    std::vector<FaultSet> met(points, rows);
    for (std::size_t row = 0; row < covers.size(); ++row) {
      rows.add(row);
      for (std::uint32_t point : covers[row]) met[point].add(row);
    }
    return smallest_cover(met, rows, kNodes).least;
  }

 private:
  static constexpr int kWays = 4;
  static constexpr std::size_t kNodes = 300;
  struct Pair {
    std::uint32_t a, b;
    const std::uint64_t* set;
  };

  std::uint32_t number(PointId point) {
    return numbers_.try_emplace(point, static_cast<std::uint32_t>(numbers_.size())).first->second;
  }

  // Points that meet all pairs and none of which can go: those that come first in the order go first.
  static std::vector<std::uint32_t> meeting(const std::vector<std::vector<std::uint32_t>>& others,
                                            const std::vector<std::uint32_t>& order) {
    std::vector<char> gone(others.size(), 0);
    std::vector<std::uint32_t> left;
    for (std::uint32_t point : order) {
      if (std::none_of(others[point].begin(), others[point].end(),
                       [&](std::uint32_t o) { return gone[o] != 0; }))
        gone[point] = 1;
    }
    for (std::uint32_t point = 0; point < gone.size(); ++point) {
      if (!gone[point]) left.push_back(point);
    }
    return left;
  }

  const FaultSet& wanted_;
  std::map<PointId, std::uint32_t> numbers_;
  std::vector<Pair> pairs_;  // their sets belong to whoever added them
};

}  // namespace

Bound bound_of(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
               const RouteStretch& stretch, const FaultSet& wanted) {
  Bound bound;
  if (wanted.empty()) {
    bound.exact = true;
    return bound;
  }
  const Costs& costs = options.costs;
  const Setting start(harness);
  const std::vector<PartId> controls = harness.controls();

  // Many pairs lie on the same two nets and show the same.
  const std::size_t words = wanted.words().size();
  const auto hash = [words](const std::uint64_t* set) { return hash_of(set, words); };
  const auto same = [words](const std::uint64_t* x, const std::uint64_t* y) {
    return std::equal(x, x + words, y);
  };
  std::unordered_set<const std::uint64_t*, decltype(hash), decltype(same)> distinct(1024, hash, same);
  Groups pairs(wanted);
  Groups ranges(wanted);
  std::vector<Groups> places(controls.size(), Groups(wanted));
  // Where the plan begins is had for nothing: number 0.
  std::vector<std::map<std::string, std::uint64_t>> numbers(controls.size());
  for (std::size_t c = 0; c < controls.size(); ++c)
    numbers[c].emplace(start.place_name(harness, controls[c]), 0);
  FaultSet shown(wanted.words().size() * 64);
  FaultSet read(wanted.words().size() * 64);  // what readings show; the rest takes sweeps
  std::vector<FaultSet> swept(controls.size(), read);
  for (std::size_t number = stretch.from; number < stretch.to; ++number) {
    const Survey& survey = surveys[number];
    FaultSet here(wanted.words().size() * 64);
    std::vector<FaultSet> by_setting(survey.settings.size(), here);
    for (std::size_t i = 0; i < survey.candidates.size(); ++i) {
      const Candidate& probe = survey.candidates[i];
      if (!probe.swept) {
        distinct.insert(survey.set(i));
        read |= survey.set(i);
      } else {
        by_setting[probe.left] |= survey.set(i);
        const auto knob = std::find(controls.begin(), controls.end(), *probe.swept) - controls.begin();
        swept[static_cast<std::size_t>(knob)] |= survey.set(i);
      }
      pairs.add(std::uint64_t{probe.a.index} << 32 | probe.b.index, survey.set(i));
      ranges.add(probe.range, survey.set(i));
      by_setting[probe.setting] |= survey.set(i);
      here |= survey.set(i);
    }
    for (std::size_t s = 0; s < survey.settings.size(); ++s) {
      for (std::size_t c = 0; c < controls.size(); ++c) {
        const auto [at, fresh] =
            numbers[c].try_emplace(survey.settings[s].place_name(harness, controls[c]), numbers[c].size());
        places[c].add(at->second, by_setting[s].words().data());
      }
    }
    // What no earlier opening shows has this one made.
    FaultSet needs = wanted;
    needs &= here;
    needs -= shown;
    if (!needs.empty() && survey.access.depth == 1) bound.seconds += costs.open_cavity;
    if (!needs.empty() && survey.access.depth > 1) bound.seconds += costs.open_cover;
    shown |= here;
  }

  // Numbered in the order of the points, whatever the order of the table.
  std::map<std::uint64_t, const std::uint64_t*> by_pair;
  pairs.each([&](std::uint64_t key, const std::uint64_t* set) { by_pair.emplace(key, set); });
  Ends ends(wanted);
  for (const auto& [key, set] : by_pair)
    ends.add(PointId{static_cast<std::uint32_t>(key >> 32)}, PointId{static_cast<std::uint32_t>(key)}, set);

  std::vector<FaultSet> sets;
  for (const std::uint64_t* set : distinct) sets.emplace_back(set, words);
  read &= wanted;
  const Cover readings = smallest_cover(sets, read);
  bound.readings = static_cast<int>(readings.least);
  bound.exact = readings.exact();
  bound.seconds += costs.read * static_cast<double>(readings.least);
  // The first pair moves both probes, if nothing went before; each other pair one.
  const std::size_t held = stretch.after ? 2 : 0;
  bound.seconds += costs.move_probe * static_cast<double>(std::max(pairs.least() + 1, ends.least()) - held);
  bound.seconds += costs.change_range * static_cast<double>(ranges.least() - 1);
  for (std::size_t c = 0; c < controls.size(); ++c) {
    // A sweep takes its knob to another place without a turn; one more than needed has to be cheaper than a turn.
    FaultSet only = swept[c];
    only &= wanted;
    only -= read;
    const std::size_t needed = only.empty() ? 0 : 1;
    const std::size_t turns = stretch.after ? places[c].least() - 1 : places[c].least(0);
    double least = HUGE_VAL;
    for (std::size_t k = needed; k <= std::max(needed, turns); ++k) {
      least = std::min(least, costs.sweep * static_cast<double>(k) +
                                  costs.turn_control * static_cast<double>(turns > k ? turns - k : 0));
    }
    bound.seconds += least;
  }
  return bound;
}

}  // namespace lugwise::plan::inside
