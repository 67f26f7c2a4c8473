#include "hearing/inside/control_ear.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

#include "hearing/inside/level.h"
#include "hearing/inside/noted.h"

namespace lugwise::hearing::inside {
namespace {

constexpr double kDoes = 0.5;  // a control that takes away half of something does something

// Places of a switch are told apart from here on, and are alike up to here, as a share of the louder.
constexpr double kSwitched = 0.3;
constexpr double kAlike = 0.1;

// A knob gives all where it should give less by so much, as shares of what it does.
constexpr double kNearlyAll = 0.8;
constexpr double kLeap = 0.3;

// Beside half way, the place of a knob at which one that gives all or nothing is told from a sound one.
constexpr double kNearStop = 0.2;

// The levels a control moves: each pickup's bass and treble.
std::vector<double> levels(const Hearing& hearing, const std::vector<PartId>& pickups) {
  std::vector<double> levels;
  for (PartId pickup : pickups) {
    levels.push_back(hearing.bass(pickup));
    levels.push_back(hearing.treble(pickup));
  }
  return levels;
}

// What a switch moves: each coil by itself, the way it points against the others included.
std::vector<double> by_coil(const Hearing& hearing) {
  std::vector<double> levels;
  double sign = 0;
  for (const Voice& voice : hearing.voices) {
    if (sign == 0 && std::abs(voice.bass) >= kAudible) sign = voice.bass < 0 ? -1 : 1;
    levels.push_back(voice.bass * (sign == 0 ? 1 : sign));
    levels.push_back(voice.treble * (sign == 0 ? 1 : sign));
  }
  return levels;
}

// How far two places of a switch are apart to the ear, as a share of the louder.
double apart(const Hearing& x, const Hearing& y) {
  const std::vector<double> a = by_coil(x), b = by_coil(y);
  double most = 0;
  for (std::size_t k = 0; k < a.size() && k < b.size(); ++k) {
    const double louder = std::max(std::abs(a[k]), std::abs(b[k]));
    if (louder >= kAudible) most = std::max(most, std::abs(a[k] - b[k]) / louder);
  }
  return most;
}

// Whether a fault is of a pot itself, or has its lugs touch or exchanged; not of the solder on them.
bool is_of_pot(const Harness& harness, const Fault& fault, PartId pot) {
  if (fault.element && harness[*fault.element].part == pot) return true;
  if (fault.mode != Mode::Short && fault.mode != Mode::Misplaced) return false;
  return std::any_of(fault.points.begin(), fault.points.end(),
                     [&](PointId point) { return harness[point].part == pot; });
}

bool about_the_same(double x, double y) { return std::abs(x - y) <= 0.15 * std::max(x, y); }

}  // namespace

std::vector<Complaint> ControlEar::listen(const std::vector<Hearing>& faulty,
                                          const std::vector<std::vector<Change>>& here) {
  std::map<PartId, std::size_t> moves;  // in how many settings a pot does something
  for (std::size_t i = 0; i < scenes_.size(); ++i) {
    for (Knob& knob : scenes_[i].knobs)
      moves[knob.pot] += of_knob(scenes_[i], knob, faulty[i], here[i]) ? 1 : 0;
  }
  // A knob that works backwards in some places of the switches only is not what a player would say of it.
  std::erase_if(found_, [&](const Complaint& each) {
    return each.sound == Sound::WorksBackwards && each.in.size() < moves[*each.control];
  });
  of_switches(faulty);
  return std::move(found_);
}

// What is wrong with one pot, or is heard at its stops only; whether it does anything if all is sound.
bool ControlEar::of_knob(const Scene& scene, Knob& knob, const Hearing& at_rest,
                         const std::vector<Change>& here) {
  const std::vector<PartId> pickups = pickups_of(scene.played->sound());
  // Most knobs rest at a stop, where the fault has been heard.
  const double rest = scene.setting.knob(knob.pot);
  const Hearing at_low = rest == 0 ? at_rest : knob.low->with(fault_, size_);
  const Hearing at_high = rest == 10 ? at_rest : knob.high->with(fault_, size_);
  const auto [moves, idle, does, backwards, on] = doing_of(knob, pickups, at_low, at_high);
  // What is wrong at a stop only, and not the control's own doing.
  if (!does || (!idle && !backwards && !on)) at_stops(scene, knob, at_low, at_high, here);
  const bool own = is_of_pot(harness_, fault_, knob.pot);
  if (own && moves && crackly(fault_) && fault_.element &&
      harness_[*fault_.element].kind != ElementKind::Joint &&
      harness_[*fault_.element].kind != ElementKind::Blob)
    note(found_, Sound::Scratchy, std::nullopt, knob.pot, scene.setting);
  if (!does) return moves;
  if (idle) note(found_, Sound::DoesNothing, std::nullopt, knob.pot, scene.setting);
  if (backwards) note(found_, Sound::WorksBackwards, std::nullopt, knob.pot, scene.setting);
  if (on && !backwards) note(found_, Sound::DoesNotMute, std::nullopt, knob.pot, scene.setting);
  if (own && !idle && !backwards && !on) of_travel(scene, knob);
  return moves;
}

ControlEar::Doing ControlEar::doing_of(const Knob& knob, const std::vector<PartId>& pickups,
                                       const Hearing& at_low, const Hearing& at_high) const {
  const std::vector<double> low = levels(knob.low->sound(), pickups);
  const std::vector<double> high = levels(knob.high->sound(), pickups);
  const std::vector<double> faulty_low = levels(at_low, pickups);
  const std::vector<double> faulty_high = levels(at_high, pickups);
  Doing doing;
  for (std::size_t k = 0; k < low.size(); ++k) {
    const double most = std::max(low[k], high[k]);
    if (most < kAudible || std::abs(high[k] - low[k]) < kDoes * most) continue;
    doing.moves = true;
    const double left = std::max(faulty_low[k], faulty_high[k]);
    if (left < kAudible) continue;
    doing.does = true;
    // Bass and treble both: else it is a tone's doing.
    const std::size_t other = k ^ 1U;
    const bool mutes = std::min(low[k], high[k]) < kSilent * most &&
                       std::min(low[other], high[other]) < kSilent * std::max(low[other], high[other]);
    if (!about_the_same(faulty_low[k], faulty_high[k])) {
      doing.idle = false;
      const bool rose = high[k] > low[k];
      const bool rises = faulty_high[k] > faulty_low[k];
      // Where it used to mute it has to do so at its other stop, else it only mutes no longer.
      const double least = std::min(faulty_low[k], faulty_high[k]);
      const bool far = std::abs(faulty_high[k] - faulty_low[k]) > kDoes * left && (!mutes || least < kOn);
      // The treble of a volume may find a way of its own, as through a tone's capacitor.
      const bool own_way = mutes && k % 2 == 1;
      doing.backwards = doing.backwards || (rose != rises && far && !own_way);
      doing.on = doing.on || (mutes && least > kOn);
    }
  }
  return doing;
}

void ControlEar::at_stops(const Scene& scene, const Knob& knob, const Hearing& at_low, const Hearing& at_high,
                          const std::vector<Change>& here) {
  for (const auto& [was, is, stop] :
       {std::tuple(&knob.low->sound(), &at_low, 0.0), std::tuple(&knob.high->sound(), &at_high, 10.0)}) {
    for (const Change& change : changes(*was, *is)) {
      if (!in_the_sound(change.sound) || (change.sound == Sound::Dull && stop == 0.0)) continue;
      if (std::any_of(here.begin(), here.end(), [&](const Change& each) {
            return each.pickup == change.pickup && in_the_sound(each.sound);
          }))
        continue;
      Setting setting = scene.setting;
      setting.turn(knob.pot, stop);
      note(found_, change.sound, change.pickup, knob.pot, setting);
    }
  }
}

// Of a pot that is right at its stops, whether it has lost what lies between.
void ControlEar::of_travel(const Scene& scene, Knob& knob) {
  const std::vector<PartId> pickups = pickups_of(scene.played->sound());
  const std::vector<double> low = levels(knob.low->sound(), pickups);
  const std::vector<double> high = levels(knob.high->sound(), pickups);
  for (const double place : {kNearStop, kHalfWay}) {
    const Played& played = scenes_.between(scene, knob, place);
    const std::vector<double> sound = levels(played.sound(), pickups);
    const std::vector<double> faulty = levels(played.with(fault_, size_), pickups);
    for (std::size_t k = 0; k < low.size(); ++k) {
      const double range = high[k] - low[k];
      if (std::abs(range) < kDoes * std::max(low[k], high[k]) || std::max(low[k], high[k]) < kAudible)
        continue;
      const double was = (sound[k] - low[k]) / range;
      const double is = (faulty[k] - low[k]) / range;
      const bool all = is > kNearlyAll && is > was + kLeap;
      const bool nothing = is < kSilent && was > kAudible;
      if (!all && !nothing) continue;
      note(found_, Sound::AllOrNothing, std::nullopt, knob.pot, scene.setting);
      return;
    }
  }
}

// A switch whose places used to sound different, and no longer do wherever they did.
void ControlEar::of_switches(const std::vector<Hearing>& faulty) {
  for (PartId control : harness_.controls()) {
    const Part& part = harness_[control];
    if (part.kind != PartKind::Switch || part.positions.size() < 2) continue;
    // Settings that differ by this switch alone.
    std::map<Setting, std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < scenes_.size(); ++i) {
      Setting others = scenes_[i].setting;
      others.select(control, 0);
      groups[others].push_back(i);
    }
    bool does = false, idle = true;
    std::vector<Setting> where;
    for (const auto& [others, scenes] : groups) {
      double was = 0, is = 0, level = 0;
      for (std::size_t i : scenes) {
        was = std::max(was, apart(scenes_[scenes.front()].played->sound(), scenes_[i].played->sound()));
        is = std::max(is, apart(faulty[scenes.front()], faulty[i]));
        level = std::max(level, faulty[i].bass());
      }
      if (was < kSwitched || level < kAudible) continue;
      does = true;
      if (is > kAlike) idle = false;
      for (std::size_t i : scenes) where.push_back(scenes_[i].setting);
    }
    if (!does || !idle) continue;
    const Sound what = part.positions.size() > 2 ? Sound::AllTheSame : Sound::DoesNothing;
    for (const Setting& setting : where) note(found_, what, std::nullopt, control, setting);
  }
}

}  // namespace lugwise::hearing::inside
