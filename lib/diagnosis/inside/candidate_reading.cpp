// Which pairs of points, in which setting and on which range, tell the suspects apart.
#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace lugwise::diagnosis::inside {
// Of the pairs that need just so much opened, or no more than is open already.
std::vector<Candidate> CandidateSearch::readings_at(int depth, const std::vector<Standing>& standing) {
  found_.clear();
  floor_ = 0;
  least_depth_ = depth > hands_.depth ? depth : 0;
  most_depth_ = depth;
  for (std::size_t s = 0; s < tried_settings_; ++s) {
    if (hands_.depth == 0 && lid_ && depth == 0) try_setting(s, false, standing);
    if (depth > 0 || !lid_) try_setting(s, true, standing);
    raise_floor();
  }
  std::vector<Candidate> all;
  for (auto& [signature, candidate] : found_) all.push_back(std::move(candidate));
  std::sort(all.begin(), all.end(), before);
  std::vector<Candidate> best;
  for (Candidate& candidate : all) {
    if (best.size() >= kMostProbes) break;
    if (choose_range(candidate, standing)) best.push_back(std::move(candidate));
  }
  return best;
}

// The score that the last probe of those kept has: what cannot reach it need not be looked at.
void CandidateSearch::raise_floor() {
  if (found_.size() < kMostProbes) return;
  std::vector<double> scores;
  for (const auto& [signature, candidate] : found_) scores.push_back(candidate.score);
  std::nth_element(scores.begin(), scores.begin() + (kMostProbes - 1), scores.end(), std::greater<>());
  floor_ = scores[kMostProbes - 1];
}

// Pairs outside are read with the lid on where nothing has been opened, all others with it off.
void CandidateSearch::try_setting(std::size_t s, bool open, const std::vector<Standing>& standing) {
  const double turning = options_.costs.turn_control * turns_between(harness_, hands_.setting, searched_[s]);
  if (most_bits_ < floor_ * (options_.costs.read + turning)) return;
  const Seats seats = seats_to(most_depth_);
  search(table(searched_[s], open, seats), reads_under(s, open, seats, standing), s, open, turning, standing);
}

void CandidateSearch::search(const ReadingTable& reads, const std::vector<std::vector<double>>& under,
                             std::size_t s, bool open, double turning,
                             const std::vector<Standing>& standing) {
  const std::size_t n = reads.probes();
  Candidate here;
  here.setting = s;
  here.open = open;
  here.ohms.resize(standing.size());
  here.deviation.resize(standing.size());
  for (std::uint32_t i = 0; i < n; ++i) {
    if (!reads.has(i)) continue;
    for (std::uint32_t j = i + 1; j < n; ++j) {
      if (!reads.has(j)) continue;
      const int depth = std::max({depth_of_[i], depth_of_[j], off_depth_});
      if (depth < least_depth_ || depth > most_depth_) continue;
      if (hands_.depth == 0 && lid_ && open != (depth > 0)) continue;
      const double seconds = seconds_for(i, j, depth, turning);
      if (most_bits_ < floor_ * seconds) continue;
      const std::size_t at = i * n + j;
      double least = under[0][at];
      double most = least;
      for (std::size_t h = 1; h < standing.size(); ++h) {
        least = std::min(least, under[h][at]);
        most = std::max(most, under[h][at]);
      }
      if (!(most - least > 0.05 + 0.01 * least)) continue;
      for (std::size_t h = 0; h < standing.size(); ++h) {
        here.ohms[h] = under[h][at];
        here.deviation[h] = reads.deviation(i, j, under[h][at]);
      }
      consider(here, i, j, depth, seconds, standing);
    }
  }
}

void CandidateSearch::consider(Candidate& here, std::uint32_t i, std::uint32_t j, int depth, double seconds,
                               const std::vector<Standing>& standing) {
  reader_.split(here.ohms, here.deviation, nullptr, outcomes_);
  const double bits = reader_.information(outcomes_, standing);
  if (bits < kLeastBits) return;
  const double score = bits / seconds;
  std::string signature(outcomes_.begin(), outcomes_.end());
  signature += static_cast<char>(depth);
  const auto known = found_.find(signature);
  if (known != found_.end() && known->second.score >= score * (1 - 1e-9)) return;
  if (found_.size() >= 4000 && known == found_.end()) return;
  here.score = score;
  here.bits = bits;
  here.seconds = seconds;
  here.i = i;
  here.j = j;
  here.depth = depth;
  if (!allowed(here, options_.meter.ranges.back())) return;
  found_[signature] = here;
}

// Whether a pair was read in this setting: a number says it all, OL leaves the higher ranges.
bool CandidateSearch::allowed(const Candidate& here, const Range& range) const {
  if (off_) return true;
  const auto pair = std::minmax(points_[here.i], points_[here.j]);
  for (const Supposed& each : supposed_) {
    if (each.probe.deed == Candidate::Deed::Read && each.setting == searched_[here.setting] &&
        std::minmax(points_[each.probe.i], points_[each.probe.j]) == pair)
      return false;
  }
  for (const Observation& each : *taken_) {
    if (each.action != Action::Read || each.setting != searched_[here.setting] || !each.lifted.empty())
      continue;
    if (std::minmax(each.a, each.b) != pair) continue;
    if (lid_ && (each.access.depth > 0) != here.open) continue;
    if (each.shows != Shows::OverRange || !each.range || each.range->top >= range.top) return false;
  }
  return true;
}

// The range on which the display says most; false: on none that was not tried.
bool CandidateSearch::choose_range(Candidate& here, const std::vector<Standing>& standing) {
  double best = kLeastBits;
  std::vector<std::uint8_t> outcomes;
  for (const Range& range : options_.meter.ranges) {
    if (options_.meter.automatic && &range != &options_.meter.ranges.back()) continue;
    if (!allowed(here, range)) continue;
    reader_.split(here.ohms, here.deviation, options_.meter.automatic ? nullptr : &range, outcomes);
    const double bits = reader_.information(outcomes, standing);
    if (bits <= best * (1 + 1e-9)) continue;
    best = bits;
    here.range = &range;
    here.outcomes = outcomes;
  }
  if (!here.range) return false;
  here.bits = best;
  if (hands_.range != 0 && here.range->top != hands_.range) here.seconds += options_.costs.change_range;
  here.score = best / here.seconds;
  return true;
}

}  // namespace lugwise::diagnosis::inside
