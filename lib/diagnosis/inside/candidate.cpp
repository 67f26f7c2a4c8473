#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <tuple>

namespace lugwise::diagnosis::inside {
namespace {

// Settings that are tried, those with the fewest turns first.
constexpr std::size_t kMostSettings = 16;
constexpr std::size_t kMostSettingsOfPairs = 12;  // each is solved anew with the one before the other

// Tables are kept from call to call until they hold so many numbers between them: 48 MB. Looked through are a few dozen settings
// a call, of an instrument always the same.
constexpr std::size_t kMostHeld = 6'000'000;

// Outside, so much is worth asking before anything more is opened. A judgement.
constexpr double kTellsEnough = 0.15;

// From this chance on the second of two outcomes is as good as sure.
constexpr double kNearlySure = 0.9;

// What each explanation makes of every pair of probes.
std::vector<std::vector<double>> each_under(const ReadingTable& reads,
                                            const std::vector<Standing>& standing) {
  std::vector<std::vector<double>> under;
  std::vector<std::pair<const Fault*, ReadingTable>> with;
  for (const Standing& each : standing) {
    if (!each.suspect || each.resting) {
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

bool same_display(double x, double y) {
  if (std::isinf(x) || std::isinf(y)) return x == y;
  return std::abs(x - y) <= 0.05 + 0.01 * std::min(x, y);
}

bool before(const Candidate& x, const Candidate& y) {
  return std::tie(y.score, x.setting, x.i, x.j, x.deed) < std::tie(x.score, y.setting, y.i, y.j, y.deed);
}

CandidateSearch::CandidateSearch(const Harness& harness, const DiagnosisOptions& options)
    : harness_(harness), options_(options), reader_(options.meter) {
  settings_ = settings_to_try(harness, options.stage);
  depths_ = accesses(harness, options.stage);
  // Outside first, so that a table of those alone has the same seats.
  std::vector<std::pair<int, PointId>> by_depth;
  for (PointId point : reachable(harness, options.stage, depths_.back().depth))
    by_depth.push_back({access_to(harness, point, options.stage)->depth, point});
  std::stable_sort(by_depth.begin(), by_depth.end(),
                   [](const auto& x, const auto& y) { return x.first < y.first; });
  for (const auto& [depth, point] : by_depth) {
    points_.push_back(point);
    depth_of_.push_back(depth);
  }
  for (int depth : depth_of_) outside_ += depth == 0 ? 1U : 0U;
  for (const Element& element : harness.elements()) lid_ = lid_ || element.when == Conducts::CavityClosed;
}

void CandidateSearch::begin(const std::vector<Observation>& taken, const std::vector<Heard>& heard) {
  taken_ = &taken;
  std::size_t held = 0;
  for (const auto& [key, table] : known_) held += table.held();
  if (held > kMostHeld) known_.clear();
  hands_ = {};
  hands_.setting = Setting(harness_);
  const auto complaint = std::find_if(heard.begin(), heard.end(),
                                      [](const Heard& each) { return !each.aside && each.set_given; });
  if (complaint != heard.end()) hands_.setting = complaint->setting;
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
  supposed_.clear();
  reader_.know({});
}

void CandidateSearch::suppose(const std::vector<Candidate>& taken) {
  hands_ = hands_at(taken.back());
  supposed_.push_back({taken.back(), setting(taken.back())});
  // What may show either outcome may still be there.
  std::map<std::vector<std::uint32_t>, std::uint8_t> kinds;
  std::vector<std::uint8_t> given;
  for (std::size_t h = 0; h < taken.front().outcomes.size(); ++h) {
    std::vector<std::uint32_t> shown;
    for (const Candidate& each : taken)
      shown.push_back(each.chances.empty() ? each.outcomes[h] : each.chances[h] > kNearlySure ? 1U : 0U);
    const auto next = static_cast<std::uint8_t>(std::min<std::size_t>(kinds.size(), 250));
    given.push_back(kinds.try_emplace(std::move(shown), next).first->second);
  }
  reader_.know(std::move(given));
}

bool CandidateSearch::at_plug(const Candidate& of) const {
  const auto plug = [&](std::uint32_t seat) { return harness_[points_[seat]].role == PointRole::Plug; };
  return plug(of.i) && plug(of.j);
}

bool CandidateSearch::on_sleeve(const Candidate& of) const {
  const auto sleeve = [&](std::uint32_t seat) {
    const Point& point = harness_[points_[seat]];
    return point.role == PointRole::Plug && point.name.ends_with("sleeve");
  };
  return sleeve(of.i) || sleeve(of.j);
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
  const bool sweeps = of.deed == Candidate::Deed::Sweep;
  return {sweeps ? other_end(setting(of), *of.control) : setting(of), points_[of.i], points_[of.j],
          std::max(of.depth, hands_.depth), of.range->top};
}

const ReadingTable& CandidateSearch::table(const Setting& setting, bool open, Seats seats) {
  const bool as_open = open || !lid_;
  const auto key = std::make_tuple(setting, as_open, seats);
  const auto known = known_.find(key);
  if (known != known_.end()) return known->second;
  const State state{setting, options_.stage, as_open, {}, options_.temperature};
  const std::vector<PointId> outside(points_.begin(),
                                     points_.begin() + static_cast<std::ptrdiff_t>(outside_));
  return known_
      .emplace(key,
               ReadingTable(harness_, circuit_of(harness_, state), seats == Seats::All ? points_ : outside))
      .first->second;
}

// Solved once for a call, whatever is watched there.
const std::vector<std::vector<double>>& CandidateSearch::reads_under(std::size_t s, bool open, Seats seats,
                                                                     const std::vector<Standing>& standing) {
  const auto [known, fresh] = under_.try_emplace({s, open || !lid_, seats});
  if (fresh) known->second = each_under(table(searched_[s], open, seats), standing);
  return known->second;
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
      // It is unsoldered where it lies, wherever the probes are.
      off_depth_ = std::max(access_to(harness_, lead, options_.stage)->depth,
                            access_to(harness_, blob.surface, options_.stage)->depth);
      least_depth_ = 0;
      most_depth_ = depths_.back().depth;
      const State state{hands_.setting, options_.stage, true, {lead}, options_.temperature};
      const ReadingTable reads(harness_, circuit_of(harness_, state), points_);
      search(reads, each_under(reads, standing), 0, true, 0, standing);
      for (auto& [signature, candidate] : found_) {
        if (!choose_range(candidate, standing)) continue;
        candidate.extra = options_.costs.lift + options_.costs.refit;
        candidate.seconds += candidate.extra;
        const double score = candidate.bits / candidate.seconds;
        if (score <= most) continue;
        most = score;
        best = {lead, candidate};
      }
    }
  }
  off_.reset();
  off_depth_ = 0;
  if (best) off_ = best->lead;
  return best;
}

bool CandidateSearch::within_reach(PointId point) const {
  return std::find(points_.begin(), points_.end(), point) != points_.end();
}

std::vector<Candidate> CandidateSearch::candidates(const std::vector<Standing>& standing,
                                                   const std::vector<std::size_t>& wrong) {
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
  tried_settings_ = settings.size();
  under_.clear();
  most_bits_ = entropy(shares_of_places(standing));

  std::vector<Candidate> offered = once_more(standing, wrong);
  const auto most_of = [](const std::vector<Candidate>& of) {
    double most = 0;
    for (const Candidate& each : of) most = std::max(most, each.bits);
    return most;
  };
  double most = most_of(offered);
  for (const Access& level : depths_) {
    if (level.depth < hands_.depth) continue;
    const bool opening = level.depth > hands_.depth;
    if (opening && most >= kTellsEnough) break;
    std::vector<Candidate> here = readings_at(level.depth, standing);
    for (Candidate& each : movements_at(level.depth, standing)) here.push_back(std::move(each));
    const double with = most_of(here);
    if (opening && most >= with / 2) continue;
    most = std::max(most, with);
    std::move(here.begin(), here.end(), std::back_inserter(offered));
  }
  std::sort(offered.begin(), offered.end(), before);
  if (offered.size() > kMostProbes) offered.resize(kMostProbes);
  return offered;
}

// What a sound harness reads there.
double CandidateSearch::sound_at(const Candidate& of) {
  const ReadingTable& reads = table(searched_[of.setting], of.open, seats_to(of.depth));
  return reads.sound()[of.i * reads.probes() + of.j];
}

double CandidateSearch::seconds_for(std::uint32_t i, std::uint32_t j, int depth, double turning) const {
  const Costs& cost = options_.costs;
  double seconds = cost.read + turning;
  if (depth >= 1 && hands_.depth < 1) seconds += cost.open_cavity;
  if (depth >= 2 && hands_.depth < depth) seconds += cost.open_cover;
  for (std::uint32_t seat : {i, j}) seconds += hands_.hold(points_[seat]) ? 0 : cost.move_probe;
  return seconds;
}

}  // namespace lugwise::diagnosis::inside
