#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <tuple>

namespace lugwise::diagnosis::inside {
namespace {

// Settings that are tried, those with the fewest turns first.
constexpr std::size_t kMostSettings = 16;
constexpr std::size_t kMostSettingsOfPairs = 12;  // each is solved anew with the one before the other

// Probes among which the order is searched.
constexpr std::size_t kMostProbes = 24;

// Tables are kept from call to call until they hold so many numbers between them: 48 MB. Looked through are a few dozen settings
// a call, of an instrument always the same.
constexpr std::size_t kMostHeld = 6'000'000;

// Less information than this is not worth a probe.
constexpr double kLeastBits = 1e-3;

// Outside, so much is worth asking before anything more is opened. A judgement.
constexpr double kTellsEnough = 0.15;

// Places pressed and moved that are weighed.
constexpr std::size_t kMostWiggles = 6;

// From this chance on the second of two outcomes stands for a test in the order of the probes, which takes outcomes as sure.
constexpr double kRatherSo = 0.5;
// And from this on it is as good as sure.
constexpr double kNearlySure = 0.9;

// How often a contact comes right for a while when its control is worked a dozen times, or another cable is put in: one
// that is dirty, and one that was open. Judgements.
constexpr double kCleansDirt = 0.5;
constexpr double kClosesOpen = 0.25;

// Two resistances nearer than this are one reading.
bool same_display(double x, double y) {
  if (std::isinf(x) || std::isinf(y)) return x == y;
  return std::abs(x - y) <= 0.05 + 0.01 * std::min(x, y);
}

bool before(const Candidate& x, const Candidate& y) {
  return std::tie(y.score, x.setting, x.i, x.j, x.deed) < std::tie(x.score, y.setting, y.i, y.j, y.deed);
}

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

std::vector<Candidate> CandidateSearch::movements_at(int depth, const std::vector<Standing>& standing) {
  std::vector<Candidate> found;
  add_wiggles(depth, standing, found);
  add_sweeps(depth, standing, found);
  std::erase_if(found, [](const Candidate& each) { return each.bits < kLeastBits; });
  return found;
}

// A pair in a setting as something to watch while something moves there; none where it can't be read.
std::optional<Candidate> CandidateSearch::moving_at(PointId a, PointId b, const Setting& setting,
                                                    const std::vector<Standing>& standing) {
  Candidate here;
  const auto seat = [&](PointId point) {
    return static_cast<std::uint32_t>(std::find(points_.begin(), points_.end(), point) - points_.begin());
  };
  here.i = seat(a);
  here.j = seat(b);
  if (here.i == points_.size() || here.j == points_.size()) return std::nullopt;
  if (here.i > here.j) std::swap(here.i, here.j);
  here.depth = std::max(depth_of_[here.i], depth_of_[here.j]);
  here.open = hands_.depth > 0 || here.depth > 0 || !lid_;
  here.setting =
      static_cast<std::size_t>(std::find(searched_.begin(), searched_.end(), setting) - searched_.begin());
  if (here.setting == searched_.size()) searched_.push_back(setting);
  const Seats seats = seats_to(here.depth);
  const ReadingTable& reads = table(setting, here.open, seats);
  if (!reads.has(here.i) || !reads.has(here.j)) return std::nullopt;
  const std::size_t at = here.i * reads.probes() + here.j;
  const double sound = reads.sound()[at];
  for (const std::vector<double>& each : reads_under(here.setting, here.open, seats, standing))
    here.ohms.push_back(each[at]);
  for (double ohms : here.ohms) here.deviation.push_back(reads.deviation(here.i, here.j, ohms));
  here.range = std::isinf(sound) ? &options_.meter.ranges.back() : &range_for(options_.meter, sound);
  return here;
}

// What a sound harness reads there.
double CandidateSearch::sound_at(const Candidate& of) {
  const ReadingTable& reads = table(searched_[of.setting], of.open, seats_to(of.depth));
  return reads.sound()[of.i * reads.probes() + of.j];
}

// What stands, pressed and moved where it is likeliest, beside the reading taken last, or at the plug.
void CandidateSearch::add_wiggles(int depth, const std::vector<Standing>& standing,
                                  std::vector<Candidate>& found) {
  std::optional<PointId> a = hands_.a;
  std::optional<PointId> b = hands_.b;
  if (!a) {
    for (PointId point : points_) {
      if (harness_[point].role != PointRole::Plug) continue;
      (a ? b : a) = point;
    }
  }
  if (!a || !b) return;
  std::optional<Candidate> reading = moving_at(*a, *b, hands_.setting, standing);
  if (!reading) return;
  const double sound = sound_at(*reading);
  std::size_t wiggles = 0;
  for (std::size_t h = 0; h < standing.size() && wiggles < kMostWiggles; ++h) {
    const Standing& each = standing[h];
    if (!each.suspect) continue;
    const Fault& fault = each.suspect->fault;
    if (fault.mode != Mode::Open && fault.mode != Mode::High) continue;
    if (each.resting || same_display(reading->ohms[h], sound)) continue;
    Candidate here = *reading;
    here.deed = Candidate::Deed::Wiggle;
    here.wiggled = {};
    for (PointId point : fault.points) {
      const auto access = access_to(harness_, point, options_.stage);
      if (!access || access->depth > depth) continue;
      here.wiggled = {point};
      here.depth = std::max(here.depth, access->depth);
      break;
    }
    if (here.wiggled.empty() || (depth > hands_.depth && here.depth < depth) || tried(here)) continue;
    const bool known = std::any_of(found.begin(), found.end(), [&](const Candidate& other) {
      return other.deed == here.deed && other.wiggled == here.wiggled;
    });
    if (known) continue;
    ++wiggles;
    Movement movement{Action::Wiggle, options_.meter.step(*here.range), nullptr, &here.wiggled};
    set_chances(here, movement, sound, standing);
    here.extra = options_.costs.wiggle;
    here.seconds = seconds_for(here.i, here.j, here.depth, 0) + here.extra;
    here.score = here.bits / here.seconds;
    found.push_back(std::move(here));
  }
}

// Each knob with a suspect on its shaft, from the stop it is nearest to, at the plug and at its own lugs.
void CandidateSearch::add_sweeps(int depth, const std::vector<Standing>& standing,
                                 std::vector<Candidate>& found) {
  std::vector<PartId> knobs;
  for (const Standing& each : standing) {
    if (!each.suspect) continue;
    const Fault& fault = each.suspect->fault;
    const bool loses = fault.mode == Mode::Open || fault.mode == Mode::High;
    if (!loses || (fault.site != Site::Track && fault.site != Site::Wiper)) continue;
    const PartId pot = *harness_[*fault.element].part;
    if (std::find(knobs.begin(), knobs.end(), pot) == knobs.end()) knobs.push_back(pot);
  }
  std::vector<PointId> plug;
  for (PointId point : points_) {
    if (harness_[point].role == PointRole::Plug) plug.push_back(point);
  }
  for (PartId pot : knobs) {
    std::vector<std::pair<PointId, PointId>> pairs;
    if (plug.size() == 2) pairs.push_back({plug[0], plug[1]});
    std::vector<PointId> lugs;
    for (PointId point : points_) {
      if (harness_[point].part == pot && harness_[point].role == PointRole::Lug) lugs.push_back(point);
    }
    for (std::size_t k = 0; k + 1 < lugs.size(); ++k) pairs.push_back({lugs[k], lugs[k + 1]});
    const PartId knob = harness_[pot].pot->gang.value_or(pot);
    Setting start = hands_.setting;
    start.turn(knob, start.knob(knob) > 5 ? 10 : 0);
    for (const auto& [a, b] : pairs) {
      std::optional<Candidate> here = moving_at(a, b, start, standing);
      if (!here || here->depth > depth || (depth > hands_.depth && here->depth < depth)) continue;
      here->deed = Candidate::Deed::Sweep;
      here->control = knob;
      if (tried(*here)) continue;
      Observation seen;
      seen.action = Action::Sweep;
      seen.a = a;
      seen.b = b;
      seen.setting = start;
      seen.access.depth = here->open ? std::max(here->depth, 1) : 0;
      seen.swept = knob;
      here->watched = pots_swept(harness_, seen, options_);
      if (here->watched.empty()) continue;
      const double sound = sound_at(*here);
      Movement movement{Action::Sweep, options_.meter.step(*here->range), &here->watched, nullptr};
      set_chances(*here, movement, sound, standing);
      const double turning = options_.costs.turn_control * turns_between(harness_, hands_.setting, start);
      here->extra = options_.costs.sweep - options_.costs.read;
      here->seconds = seconds_for(here->i, here->j, here->depth, turning) + here->extra;
      here->score = here->bits / here->seconds;
      found.push_back(std::move(*here));
    }
  }
}

// How often each explanation shows the second outcome, and so what the test says.
void CandidateSearch::set_chances(Candidate& here, const Movement& movement, double sound,
                                  const std::vector<Standing>& standing) {
  here.chances.clear();
  for (std::size_t h = 0; h < standing.size(); ++h) {
    const Standing& each = standing[h];
    double chance = chance_of_unsteady(harness_, movement, nullptr, 0, false);
    // What rests touches the reading no less than what stays.
    const bool touched = each.suspect && (each.resting || !same_display(here.ohms[h], sound));
    if (each.suspect)
      chance =
          std::max(chance, chance_of_unsteady(harness_, movement, &each.suspect->fault, each.size, touched));
    if (each.suspect && each.suspect->also)
      chance = std::max(chance, chance_of_unsteady(harness_, movement, &*each.suspect->also, 0, touched));
    here.chances.push_back(chance);
  }
  weigh_chances(here, standing);
}

void CandidateSearch::weigh_chances(Candidate& here, const std::vector<Standing>& standing) {
  here.bits = reader_.information(here.chances, standing);
  here.outcomes.clear();
  for (double chance : here.chances) here.outcomes.push_back(chance >= kRatherSo ? 1 : 0);
  here.repeats = here.bits > 0 ? std::max(1.0, reader_.information(here.outcomes, standing) / here.bits) : 1;
}

// Whether just this was moved and watched before.
bool CandidateSearch::tried(const Candidate& here) const {
  const auto pair = std::minmax(points_[here.i], points_[here.j]);
  const bool supposed = std::any_of(supposed_.begin(), supposed_.end(), [&](const Supposed& each) {
    return each.probe.deed == here.deed && each.probe.wiggled == here.wiggled &&
           each.probe.control == here.control;
  });
  if (supposed) return true;
  return std::any_of(taken_->begin(), taken_->end(), [&](const Observation& each) {
    if (here.deed == Candidate::Deed::Wiggle)
      return each.action == Action::Wiggle &&
             std::find(each.wiggled.begin(), each.wiggled.end(), here.wiggled.front()) != each.wiggled.end();
    return each.action == Action::Sweep && each.swept == here.control && std::minmax(each.a, each.b) == pair;
  });
}

// The wrong reading taken last: once more, after its controls were worked, with another cable.
std::vector<Candidate> CandidateSearch::once_more(const std::vector<Standing>& standing,
                                                  const std::vector<std::size_t>& wrong) {
  std::vector<Candidate> found;
  for (auto at = wrong.rbegin(); at != wrong.rend(); ++at) {
    const Observation& seen = (*taken_)[*at];
    if (seen.action != Action::Read || !seen.lifted.empty() || seen.capacitor || taken_again(*at)) continue;
    std::optional<Candidate> reading = moving_at(seen.a, seen.b, seen.setting, standing);
    if (!reading || reading->depth > hands_.depth) continue;
    reading->again = *at;
    if (seen.range) {
      for (const Range& range : options_.meter.ranges) {
        if (range.top == seen.range->top) reading->range = &range;
      }
    }
    const double turning =
        options_.costs.turn_control * turns_between(harness_, hands_.setting, seen.setting);
    const double seconds = seconds_for(reading->i, reading->j, reading->depth, turning);
    Candidate again = *reading;
    again.deed = Candidate::Deed::Again;
    reader_.split(again.ohms, again.deviation, options_.meter.automatic ? nullptr : again.range,
                  again.outcomes);
    again.bits = reader_.information(again.outcomes, standing);
    again.seconds = seconds;
    found.push_back(std::move(again));
    add_worked(*reading, seconds, standing, found);
    break;
  }
  for (Candidate& each : found) each.score = each.bits / each.seconds;
  std::erase_if(found, [](const Candidate& each) { return each.bits < kLeastBits; });
  return found;
}

// Controls whose contacts stand, and the cable where the plug's do: it may come right.
void CandidateSearch::add_worked(const Candidate& reading, double seconds,
                                 const std::vector<Standing>& standing, std::vector<Candidate>& found) {
  const double sound = sound_at(reading);
  // Right where nothing is wrong, and as before where the fault stays.
  const auto comes_right = [&](std::size_t h) {
    return !standing[h].suspect ? 1.0 : same_display(reading.ohms[h], sound) ? 1.0 : 0.0;
  };
  std::vector<PartId> controls;
  bool plug = false;
  for (const Standing& each : standing) {
    const std::optional<PartId> control = each.suspect ? worked_by(each.suspect->fault) : std::nullopt;
    if (control && std::find(controls.begin(), controls.end(), *control) == controls.end())
      controls.push_back(*control);
    plug = plug || (control && harness_[*control].kind == PartKind::Jack);
  }
  const auto add = [&](Candidate::Deed deed, PartId control, double extra) {
    Candidate here = reading;
    here.deed = deed;
    here.control = control;
    for (std::size_t h = 0; h < standing.size(); ++h) {
      double chance = comes_right(h);
      const Suspect* const suspect = standing[h].suspect;
      if (suspect && worked_by(suspect->fault) == control)
        chance = std::max(chance, suspect->fault.mode == Mode::High ? kCleansDirt : kClosesOpen);
      here.chances.push_back(chance);
    }
    weigh_chances(here, standing);
    here.extra = extra;
    here.seconds = seconds + extra;
    found.push_back(std::move(here));
  };
  for (PartId control : controls) add(Candidate::Deed::Work, control, options_.costs.sweep);
  if (!plug) return;
  for (PartId control : controls) {
    if (harness_[control].kind == PartKind::Jack)
      add(Candidate::Deed::Cable, control, 2 * options_.costs.sweep);
  }
}

// The control that moves the contact of a fault: a switch, a plug in its jack, a wiper on its track.
std::optional<PartId> CandidateSearch::worked_by(const Fault& fault) const {
  if (!fault.element || (fault.mode != Mode::High && fault.mode != Mode::Open)) return std::nullopt;
  if (fault.site != Site::Contact && fault.site != Site::Wiper) return std::nullopt;
  const std::optional<PartId> part = harness_[*fault.element].part;
  if (!part) return std::nullopt;
  const Part& of = harness_[*part];
  if (of.pot) return of.pot->gang.value_or(*part);
  if (of.kind == PartKind::Switch || of.kind == PartKind::Jack) return part;
  return std::nullopt;
}

// A second reading of the same settles it.
bool CandidateSearch::taken_again(std::size_t observation) const {
  const Observation& seen = (*taken_)[observation];
  std::size_t times = 0;
  for (const Observation& each : *taken_) {
    if (each.action == Action::Read && each.setting == seen.setting && each.lifted.empty() &&
        std::minmax(each.a, each.b) == std::minmax(seen.a, seen.b))
      ++times;
  }
  return times > 1;
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
      const int depth = std::max(depth_of_[i], depth_of_[j]);
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
