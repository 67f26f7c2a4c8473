// A wrong reading once more: as it is, after its control was worked, with another cable.
#include "diagnosis/inside/candidate.h"

#include <algorithm>
#include <cmath>

namespace lugwise::diagnosis::inside {
namespace {

// How often a contact comes right for a while when its control is worked a dozen times, or another cable is put in: one
// that is dirty, and one that was open. Judgements.
constexpr double kCleansDirt = 0.5;
constexpr double kClosesOpen = 0.25;

}  // namespace

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

}  // namespace lugwise::diagnosis::inside
