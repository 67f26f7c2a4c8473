// What is moved while it is watched: knobs swept, joints and contacts pressed.
#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// Places pressed and moved that are weighed.
constexpr std::size_t kMostWiggles = 6;

// From this chance on the second of two outcomes stands for a test in the order of the probes, which takes outcomes as sure.
constexpr double kRatherSo = 0.5;

}  // namespace

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

}  // namespace lugwise::diagnosis::inside
