#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <tuple>

namespace lugwise::diagnosis::inside {
namespace {

// Settings that are tried, those with the fewest turns first.
constexpr std::size_t kMostSettings = 16;
constexpr std::size_t kMostSettingsOfPairs = 12;  // each is solved anew with the one before the other

// Probes among which the order is searched.
constexpr std::size_t kMostProbes = 24;

// Less information than this is not worth a probe.
constexpr double kLeastBits = 1e-3;

// What each explanation makes of every pair of probes.
std::vector<std::vector<double>> reads_under(const ReadingTable& reads,
                                             const std::vector<Standing>& standing) {
  std::vector<std::vector<double>> under;
  std::vector<std::pair<const Fault*, ReadingTable>> with;
  for (const Standing& each : standing) {
    if (!each.suspect) {
      under.push_back(reads.sound());
    } else if (!each.suspect->also) {
      under.push_back(reads.under(each.suspect->fault, each.size));
    } else {
      // Of two the second is solved for once, and the first, whose size may be any of three, put on top.
      const std::optional<Size>& size = each.suspect->also_size;
      const Fault& second = *each.suspect->also;
      auto known =
          std::find_if(with.begin(), with.end(), [&](const auto& one) { return *one.first == second; });
      if (known == with.end())
        known = with.insert(known, {&second, reads.with(second, size ? size->nominal : 0)});
      under.push_back(known->second.under(each.suspect->fault, each.size));
    }
  }
  return under;
}

}  // namespace

CandidateSearch::CandidateSearch(const Harness& harness, const DiagnosisOptions& options)
    : harness_(harness), options_(options), reader_(options.meter) {
  settings_ = settings_to_try(harness, options.stage);
  depths_ = accesses(harness, options.stage);
  for (PointId point : reachable(harness, options.stage, depths_.back().depth)) {
    points_.push_back(point);
    depth_of_.push_back(access_to(harness, point, options.stage)->depth);
  }
  for (const Element& element : harness.elements()) lid_ = lid_ || element.when == Conducts::CavityClosed;
}

void CandidateSearch::begin(const std::vector<Observation>& taken) {
  taken_ = &taken;
  hands_ = {};
  hands_.setting = Setting(harness_);
  if (!taken.empty()) {
    const Observation& last = taken.back();
    hands_.setting = last.setting;
    if (last.action == Action::Sweep && last.swept) hands_.setting = other_end(last.setting, *last.swept);
    hands_.a = last.a;
    hands_.b = last.b;
    if (last.range) hands_.range = last.range->top;
  }
  hands_.depth = depths_.front().depth;
  for (const Observation& each : taken) hands_.depth = std::max(hands_.depth, each.access.depth);
}

Access CandidateSearch::access(const Candidate& of) const {
  for (const Access& access : depths_) {
    if (access.depth == std::max(of.depth, hands_.depth)) return access;
  }
  return {};
}

State CandidateSearch::state(const Candidate& of) const {
  State state{setting(of), options_.stage, of.open || !lid_, {}, options_.temperature};
  if (off_) state.lifted.push_back(*off_);
  return state;
}

Hands CandidateSearch::hands_at(const Candidate& of) const {
  return {setting(of), points_[of.i], points_[of.j], std::max(of.depth, hands_.depth), of.range->top};
}

const ReadingTable& CandidateSearch::table(const Setting& setting, bool open) {
  const bool as_open = open || !lid_;
  const auto key = std::make_pair(setting, as_open);
  const auto known = known_.find(key);
  if (known != known_.end()) return known->second;
  const State state{setting, options_.stage, as_open, {}, options_.temperature};
  return known_.emplace(key, ReadingTable(harness_, circuit_of(harness_, state), points_)).first->second;
}

std::optional<CandidateSearch::LeadOff> CandidateSearch::with_a_lead_off(
    const std::vector<Standing>& standing) {
  searched_ = {hands_.setting};
  std::optional<LeadOff> best;
  double most = 0;
  for (const Blob& blob : harness_.blobs()) {
    for (PointId lead : blob.leads) {
      const bool near = lies_at(harness_, standing, lead) || lies_at(harness_, standing, blob.surface);
      if (blob.inside || !near || !within_reach(lead) || !within_reach(blob.surface)) continue;
      found_.clear();
      floor_ = 0;
      off_ = lead;
      const State state{hands_.setting, options_.stage, true, {lead}, options_.temperature};
      search(ReadingTable(harness_, circuit_of(harness_, state), points_), 0, true, 0, standing);
      for (auto& [signature, candidate] : found_) {
        if (!choose_range(candidate, standing)) continue;
        candidate.seconds += options_.costs.lift + options_.costs.refit;
        const double score = candidate.bits / candidate.seconds;
        if (score <= most) continue;
        most = score;
        best = {lead, candidate};
      }
    }
  }
  off_.reset();
  if (best) off_ = best->lead;
  return best;
}

bool CandidateSearch::within_reach(PointId point) const {
  return std::find(points_.begin(), points_.end(), point) != points_.end();
}

std::vector<Candidate> CandidateSearch::candidates(const std::vector<Standing>& standing) {
  off_.reset();
  std::vector<Setting> settings{hands_.setting};
  for (const Setting& setting : settings_) {
    if (setting != hands_.setting) settings.push_back(setting);
  }
  std::stable_sort(settings.begin() + 1, settings.end(), [&](const Setting& x, const Setting& y) {
    return turns_between(harness_, hands_.setting, x) < turns_between(harness_, hands_.setting, y);
  });
  const bool pairs = std::any_of(standing.begin(), standing.end(),
                                 [](const Standing& each) { return each.suspect && each.suspect->also; });
  settings.resize(std::min(settings.size(), pairs ? kMostSettingsOfPairs : kMostSettings));
  searched_ = settings;
  found_.clear();
  most_bits_ = entropy(shares_of_places(standing));
  floor_ = 0;
  for (std::size_t s = 0; s < settings.size(); ++s) {
    if (hands_.depth == 0 && lid_) try_setting(s, false, standing);
    try_setting(s, true, standing);
    raise_floor();
  }
  std::vector<Candidate> all;
  for (auto& [signature, candidate] : found_) all.push_back(std::move(candidate));
  const auto before = [](const Candidate& x, const Candidate& y) {
    return std::tie(y.score, x.setting, x.i, x.j) < std::tie(x.score, y.setting, y.i, y.j);
  };
  std::sort(all.begin(), all.end(), before);
  std::vector<Candidate> best;
  for (Candidate& candidate : all) {
    if (best.size() >= kMostProbes) break;
    if (choose_range(candidate, standing)) best.push_back(std::move(candidate));
  }
  std::sort(best.begin(), best.end(), before);
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
  search(table(searched_[s], open), s, open, turning, standing);
}

void CandidateSearch::search(const ReadingTable& reads, std::size_t s, bool open, double turning,
                             const std::vector<Standing>& standing) {
  const std::vector<std::vector<double>> under = reads_under(reads, standing);
  const std::size_t n = points_.size();
  Candidate here;
  here.setting = s;
  here.open = open;
  here.ohms.resize(standing.size());
  here.deviation.resize(standing.size());
  for (std::uint32_t i = 0; i < n; ++i) {
    if (!reads.has(i)) continue;
    for (std::uint32_t j = i + 1; j < n; ++j) {
      if (!reads.has(j)) continue;
      const int depth = std::max(depth_of_[i], depth_of_[j]);
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

double CandidateSearch::seconds_for(std::uint32_t i, std::uint32_t j, int depth, double turning) const {
  const Costs& cost = options_.costs;
  double seconds = cost.read + turning;
  if (depth >= 1 && hands_.depth < 1) seconds += cost.open_cavity;
  if (depth >= 2 && hands_.depth < depth) seconds += cost.open_cover;
  for (std::uint32_t seat : {i, j}) seconds += hands_.hold(points_[seat]) ? 0 : cost.move_probe;
  return seconds;
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
  for (const Observation& each : *taken_) {
    if (each.action != Action::Read || each.setting != searched_[here.setting] || !each.lifted.empty())
      continue;
    if (std::minmax(each.a, each.b) != std::minmax(points_[here.i], points_[here.j])) continue;
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
