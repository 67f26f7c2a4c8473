#include "plan/inside/bound.h"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <unordered_set>

#include "plan/inside/cover.h"

namespace lugwise {
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

}  // namespace

Bound bound_of(const Harness& harness, const PlanOptions& options, const std::vector<Survey>& surveys,
               const FaultSet& wanted) {
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
  for (const Survey& survey : surveys) {
    FaultSet here(wanted.words().size() * 64);
    std::vector<FaultSet> by_setting(survey.settings.size(), here);
    for (std::size_t i = 0; i < survey.candidates.size(); ++i) {
      const Candidate& probe = survey.candidates[i];
      distinct.insert(survey.set(i));
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

  std::vector<FaultSet> sets;
  for (const std::uint64_t* set : distinct) sets.emplace_back(set, words);
  const Cover readings = smallest_cover(sets, wanted);
  bound.readings = static_cast<int>(readings.least);
  bound.exact = readings.exact();
  bound.seconds += costs.read * static_cast<double>(readings.least);
  bound.seconds += costs.move_probe * static_cast<double>(pairs.least() + 1);
  bound.seconds += costs.change_range * static_cast<double>(ranges.least() - 1);
  for (std::size_t c = 0; c < controls.size(); ++c) {
    bound.seconds += costs.turn_control * static_cast<double>(places[c].least(0));
  }
  return bound;
}

}  // namespace lugwise
