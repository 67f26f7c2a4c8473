#include "plan/inside/stops.h"

#include <algorithm>
#include <map>
#include <unordered_map>

#include "plan/inside/sweeps.h"

namespace lugwise::plan::inside {
namespace {

// Of the pairs that share a point and show the same in one setting, so many are looked at.
constexpr int kMostAlike = 3;

RouteChoice choice(std::size_t survey, std::size_t candidate) {
  return {static_cast<std::uint32_t>(survey), static_cast<std::uint32_t>(candidate)};
}

}  // namespace

Stops::Stops(const Harness& harness, const Costs& costs, const std::vector<Survey>& surveys,
             const RouteStretch& stretch, const FaultSet& wanted)
    : harness_(harness),
      costs_(costs),
      surveys_(surveys),
      wanted_(wanted),
      holders_(wanted.words().size() * 64) {
  FaultSet shown(holders_.size());
  for (std::size_t s = stretch.from; s < stretch.to; ++s) {
    FaultSet more(holders_.size());
    surveys[s].show_all(more);
    more &= wanted_;
    if (shown.contains(more)) continue;  // nothing is opened for nothing
    choose_readings(s);
    choose_sweeps(s);
    shown |= more;
  }
}

// The next stop is worth trying for what it shows.
void Stops::hold(const Stop& stop) {
  FaultSet shows(holders_.size());
  shows |= stop.set;
  shows &= wanted_;
  for (std::size_t fault : shows.list()) holders_[fault].push_back(stops_.size());
}

// Of the pairs that share a point in one setting, those whose faults another shows too and more are left out unless
// they are the best of their other point; and what a lesser opening shows as well.
void Stops::choose_readings(std::size_t s) {
  const Survey& survey = surveys_[s];
  std::vector<std::vector<std::size_t>> by_setting(survey.settings.size());
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    const Candidate& probe = survey.candidates[c];
    if (!probe.swept && holds_any(survey.set(c), wanted_)) by_setting[probe.setting].push_back(c);
  }
  std::vector<char> kept(survey.candidates.size(), 0);
  std::vector<std::uint32_t> size(survey.candidates.size(), 0);
  for (std::uint32_t setting = 0; setting < by_setting.size(); ++setting)
    choose_in_setting(s, setting, by_setting[setting], size, kept);
  // Of a large harness these are most of a plan's memory: no more than there are.
  stops_.reserve(stops_.size() + size.size() - std::count(size.begin(), size.end(), 0U));
  for (std::size_t c = 0; c < kept.size(); ++c) {
    if (size[c] == 0) continue;
    const Candidate& probe = survey.candidates[c];
    const Stop stop{{probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.read},
                    choice(s, c),
                    survey.set(c),
                    static_cast<std::uint32_t>(stops_.size())};
    if (kept[c]) {
      hold(stop);
      ++likely_;
      pairs_read_.insert({probe.setting, probe.a, probe.b});
    }
    stops_.push_back(stop);
  }
}

// The same of one setting: how much of what is wanted each of these candidates shows, and which are kept.
void Stops::choose_in_setting(std::size_t s, std::uint32_t setting,
                              const std::vector<std::size_t>& candidates, std::vector<std::uint32_t>& size,
                              std::vector<char>& kept) const {
  const Survey& survey = surveys_[s];
  const auto pair = [](PointId a, PointId b) { return std::uint64_t{a.index} << 32 | b.index; };
  std::unordered_map<std::uint64_t, const std::uint64_t*> sooner;  // by pair
  for (const Stop& stop : stops_) {
    if (stop.setting == setting && stop.left == setting && stop.choice.survey < s)
      sooner.emplace(pair(stop.a, stop.b), stop.set);
  }
  std::map<PointId, std::vector<std::size_t>> at;
  for (std::size_t c : candidates) {
    const Candidate& probe = survey.candidates[c];
    const auto known = sooner.find(pair(probe.a, probe.b));
    if (known != sooner.end() && holds(known->second, survey.set(c), wanted_)) continue;
    size[c] = static_cast<std::uint32_t>(count_of(survey.set(c), wanted_));
    at[probe.a].push_back(c);
    at[probe.b].push_back(c);
  }
  for (auto& [point, pairs] : at) {
    std::stable_sort(pairs.begin(), pairs.end(),
                     [&](std::size_t x, std::size_t y) { return size[x] > size[y]; });
    struct Largest {
      std::size_t candidate;
      int alike;
    };
    std::vector<Largest> largest;
    for (std::size_t c : pairs) {
      const auto above = std::find_if(largest.begin(), largest.end(), [&](const Largest& other) {
        return holds(survey.set(other.candidate), survey.set(c), wanted_);
      });
      if (above == largest.end()) {
        largest.push_back({c, 1});
      } else if (size[above->candidate] > size[c] || ++above->alike > kMostAlike) {
        continue;
      }
      kept[c] = 1;
    }
  }
}

// Of the sweeps of one knob from one setting, those whose pair is worth reading before or after it, and the best of each
// point: plug points and the pot's own lugs go first.
void Stops::choose_sweeps(std::size_t s) {
  const Survey& survey = surveys_[s];
  std::map<std::tuple<PartId, std::uint32_t, PointId>, std::pair<int, std::size_t>> best;
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    const Candidate& probe = survey.candidates[c];
    if (!probe.swept || !holds_any(survey.set(c), wanted_)) continue;
    const int here = liking_of_sweep(harness_, probe);
    for (PointId point : {probe.a, probe.b}) {
      const auto [at, fresh] =
          best.try_emplace({*probe.swept, std::min(probe.setting, probe.left), point}, here, c);
      if (!fresh && here > at->second.first) at->second = {here, c};
    }
  }
  std::set<std::tuple<PartId, std::uint32_t, PointId, PointId>> alone;
  for (const auto& [key, one] : best) {
    const Candidate& probe = survey.candidates[one.second];
    alone.insert({*probe.swept, std::min(probe.setting, probe.left), probe.a, probe.b});
  }
  std::map<std::tuple<std::uint32_t, std::uint32_t, PointId, PointId>, std::uint32_t> other_way;
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    const Candidate& probe = survey.candidates[c];
    if (!probe.swept || !holds_any(survey.set(c), wanted_)) continue;
    const bool likely =
        alone.count({*probe.swept, std::min(probe.setting, probe.left), probe.a, probe.b}) != 0 ||
        pairs_read_.count({probe.setting, probe.a, probe.b}) != 0 ||
        pairs_read_.count({probe.left, probe.a, probe.b}) != 0;
    if (!likely) continue;
    Stop stop{{probe.setting, probe.left, probe.range, probe.a, probe.b, costs_.sweep},
              choice(s, c),
              survey.set(c),
              kNoTwin};
    const auto twin = other_way.find({probe.left, probe.setting, probe.a, probe.b});
    if (twin != other_way.end()) {
      stop.twin = twin->second;
      stops_[twin->second].twin = static_cast<std::uint32_t>(stops_.size());
    }
    other_way.emplace(std::tuple(probe.setting, probe.left, probe.a, probe.b),
                      static_cast<std::uint32_t>(stops_.size()));
    hold(stop);
    stops_.push_back(stop);
  }
}

}  // namespace lugwise::plan::inside
