#include "hearing/listener.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "hearing/inside/level.h"
#include "hearing/inside/played.h"

namespace lugwise {

using namespace hearing::inside;
namespace {

constexpr double kDoes = 0.5;  // a control that takes away half of something does something

// Places of a switch are told apart from here on, and are alike up to here, as a share of the louder.
constexpr double kSwitched = 0.3;
constexpr double kAlike = 0.1;

// A knob gives all where it should give less by so much, as shares of what it does.
constexpr double kNearlyAll = 0.8;
constexpr double kLeap = 0.3;

// A knob's places at which one that gives all or nothing is told from a sound one.
constexpr double kNearStop = 0.2;
constexpr double kHalfWay = 5;

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

void note(std::vector<Complaint>& complaints, Sound what, std::optional<PartId> pickup,
          std::optional<PartId> control, const Setting& setting) {
  for (Complaint& each : complaints) {
    if (each.sound != what || each.pickup != pickup || each.control != control) continue;
    if (each.in.empty() || each.in.back() != setting) each.in.push_back(setting);
    return;
  }
  complaints.push_back({what, pickup, control, {setting}});
}

bool in_the_sound(Sound what) {
  return what == Sound::Silent || what == Sound::Weak || what == Sound::Thin || what == Sound::Dull;
}

// What all that sounds has in every setting is said once, not pickup by pickup.
void say_once(std::size_t settings, const std::map<Sound, std::size_t>& whole,
              std::vector<Complaint>& complaints) {
  for (const auto& [what, times] : whole) {
    if (times < settings) continue;
    const auto of = [kind = what](const Complaint& each) { return each.sound == kind && !each.control; };
    const auto first = std::find_if(complaints.begin(), complaints.end(), of);
    if (first == complaints.end()) continue;
    Complaint all{what, std::nullopt, std::nullopt, {}};
    for (const Complaint& each : complaints) {
      if (!of(each)) continue;
      for (const Setting& setting : each.in) {
        if (std::find(all.in.begin(), all.in.end(), setting) == all.in.end()) all.in.push_back(setting);
      }
    }
    *first = std::move(all);
    complaints.erase(std::remove_if(first + 1, complaints.end(), of), complaints.end());
  }
}

// What comes and goes: a cold joint, a dirty contact or wiper, a worn track.
bool crackly(const Fault& fault) { return fault.mode == Mode::High; }

// It crackles where it would matter if it were open; of a worn track the wiper is what lets go.
Fault let_go(const Harness& harness, const Fault& fault) {
  Fault open = fault;
  open.mode = Mode::Open;
  if (is_worn_track(fault)) {
    open.site = Site::Wiper;
    open.element = harness[*harness[*fault.element].part].pot->wiper_element;
  }
  return open;
}

}  // namespace

std::unique_ptr<Played> Listener::play(const Setting& setting) const {
  return std::make_unique<Played>(harness_, as_played(harness_, setting, stage_));
}

Listener::Listener(const Harness& harness, std::optional<std::size_t> stage)
    : harness_(harness), stage_(stage) {
  for (const Setting& setting : settings_to_hear(harness, stage)) {
    auto played = play(setting);
    if (!played->plugged()) return;
    scenes_.push_back({setting, std::move(played), {}});
    for (PartId control : harness.controls()) {
      const Part& part = harness[control];
      if (part.kind != PartKind::Pot || !scenes_.back().played->circuit().has(part.pot->lug1)) continue;
      Setting low = setting, high = setting;
      low.turn(control, 0);
      high.turn(control, 10);
      scenes_.back().knobs.push_back({control, play(low), play(high), {}});
    }
  }
}

Listener::Listener(Listener&&) noexcept = default;
Listener::~Listener() = default;

// Kept: every fault of a pot is heard there, and whatever is heard nowhere else.
const Played& Listener::between(const Scene& scene, Knob& knob, double place) {
  std::unique_ptr<Played>& known = knob.between[place];
  if (!known) {
    Setting setting = scene.setting;
    setting.turn(knob.pot, place);
    known = play(setting);
  }
  return *known;
}

bool Listener::sounds(std::size_t setting, PartId pickup) const {
  const Hearing& hearing = scenes_[setting].played->sound();
  return std::max(hearing.bass(pickup), hearing.treble(pickup)) >= kAudible;
}

std::vector<PartId> Listener::sounding(const Setting& setting) const {
  const auto known = std::find_if(scenes_.begin(), scenes_.end(),
                                  [&](const Scene& scene) { return scene.setting == setting; });
  const auto hearing = known != scenes_.end() ? std::optional(known->played->sound())
                                              : hear(harness_, as_played(harness_, setting, stage_));
  std::vector<PartId> found;
  if (!hearing) return found;
  for (PartId pickup : pickups_of(*hearing)) {
    if (std::max(hearing->bass(pickup), hearing->treble(pickup)) >= kAudible) found.push_back(pickup);
  }
  return found;
}

std::vector<Change> Listener::changes_in(const Played& played, const Fault& fault, double size) const {
  std::vector<Change> found = changes(played.sound(), played.with(fault, size));
  if (!crackly(fault)) return found;
  for (const Change& change : changes(played.sound(), played.with(let_go(harness_, fault), 0))) {
    if (in_the_sound(change.sound)) found.push_back({Sound::Crackles, change.pickup});
    if (!in_the_sound(change.sound) && std::find(found.begin(), found.end(), change) == found.end())
      found.push_back(change);
  }
  return found;
}

std::vector<Change> Listener::changes_in(const Setting& setting, const Fault& fault, double size) const {
  const Played played(harness_, as_played(harness_, setting, stage_));
  return played.plugged() ? changes_in(played, fault, size) : std::vector<Change>();
}

std::vector<std::vector<Change>> Listener::changes_everywhere(const Fault& fault, double size) const {
  std::vector<std::vector<Change>> found;
  for (const Scene& scene : scenes_) found.push_back(changes_in(*scene.played, fault, size));
  return found;
}

std::vector<Hearing> Listener::hear_everywhere(const Fault& fault, double size) const {
  std::vector<Hearing> found;
  for (const Scene& scene : scenes_) found.push_back(scene.played->with(fault, size));
  return found;
}

std::vector<Complaint> Listener::of_controls(const Fault& fault, double size) {
  return of_controls(fault, size, hear_everywhere(fault, size), changes_everywhere(fault, size));
}

std::vector<Complaint> Listener::of_controls(const Fault& fault, double size,
                                             const std::vector<Hearing>& faulty,
                                             const std::vector<std::vector<Change>>& here) {
  std::vector<Complaint> found;
  std::map<PartId, std::size_t> moves;  // in how many settings a pot does something
  for (std::size_t i = 0; i < scenes_.size(); ++i) {
    for (Knob& knob : scenes_[i].knobs)
      moves[knob.pot] += of_knob(scenes_[i], knob, faulty[i], here[i], fault, size, found) ? 1 : 0;
  }
  // A knob that works backwards in some places of the switches only is not what a player would say of it.
  std::erase_if(found, [&](const Complaint& each) {
    return each.sound == Sound::WorksBackwards && each.in.size() < moves[*each.control];
  });
  of_switches(faulty, found);
  return found;
}

std::vector<Complaint> Listener::complaints(const Fault& fault, double size) {
  std::vector<Complaint> found;
  std::vector<std::vector<Change>> everywhere;
  std::vector<Hearing> faulty = hear_everywhere(fault, size);
  std::map<Sound, std::size_t> whole;  // in how many settings all that sounds has it
  for (std::size_t i = 0; i < scenes_.size(); ++i) {
    const Scene& scene = scenes_[i];
    const Hearing& sound = scene.played->sound();
    const std::vector<PartId> pickups = pickups_of(sound);
    std::vector<Change> here = changes(sound, faulty[i]);
    if (crackly(fault)) {
      for (const Change& change : changes(sound, scene.played->with(let_go(harness_, fault), 0))) {
        if (in_the_sound(change.sound)) here.push_back({Sound::Crackles, change.pickup});
      }
    }
    // What is true of all that sounds is said once.
    std::size_t sounding = 0;
    for (PartId pickup : pickups) sounding += sound.bass(pickup) >= kAudible ? 1 : 0;
    for (const Change& change : here) {
      std::optional<PartId> pickup = change.pickup;
      const auto alike = [&](const Change& each) { return each.sound == change.sound && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), alike));
      const bool faint = change.sound == Sound::AlwaysOn || change.sound == Sound::Bleeds;
      if (pickup && !faint && pickups.size() > 1 && sounding > 1 && count == sounding) pickup.reset();
      note(found, change.sound, pickup, std::nullopt, scene.setting);
    }
    for (const Sound what : {Sound::Silent, Sound::Weak, Sound::Thin, Sound::Dull, Sound::Crackles}) {
      const auto has = [&](const Change& each) { return each.sound == what && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), has));
      whole[what] += count > 0 && count == sounding ? 1 : 0;
    }
    everywhere.push_back(std::move(here));
  }
  const std::vector<Complaint> controls = of_controls(fault, size, faulty, everywhere);
  found.insert(found.end(), controls.begin(), controls.end());
  say_once(scenes_.size(), whole, found);
  return found.empty() ? half_way(fault, size) : found;
}

// What is wrong with one pot, or is heard at its stops only; whether it does anything if all is sound.
bool Listener::of_knob(const Scene& scene, Knob& knob, const Hearing& at_rest,
                       const std::vector<Change>& here, const Fault& fault, double size,
                       std::vector<Complaint>& found) {
  const std::vector<PartId> pickups = pickups_of(scene.played->sound());
  const std::vector<double> low = levels(knob.low->sound(), pickups);
  const std::vector<double> high = levels(knob.high->sound(), pickups);
  // Most knobs rest at a stop, where the fault has been heard.
  const double rest = scene.setting.knob(knob.pot);
  const Hearing at_low = rest == 0 ? at_rest : knob.low->with(fault, size);
  const Hearing at_high = rest == 10 ? at_rest : knob.high->with(fault, size);
  const std::vector<double> faulty_low = levels(at_low, pickups);
  const std::vector<double> faulty_high = levels(at_high, pickups);
  bool moves = false, idle = true, does = false, backwards = false, on = false;
  for (std::size_t k = 0; k < low.size(); ++k) {
    const double most = std::max(low[k], high[k]);
    if (most < kAudible || std::abs(high[k] - low[k]) < kDoes * most) continue;
    moves = true;
    const double left = std::max(faulty_low[k], faulty_high[k]);
    if (left < kAudible) continue;
    does = true;
    // Bass and treble both: else it is a tone's doing.
    const std::size_t other = k ^ 1U;
    const bool mutes = std::min(low[k], high[k]) < kSilent * most &&
                       std::min(low[other], high[other]) < kSilent * std::max(low[other], high[other]);
    if (!about_the_same(faulty_low[k], faulty_high[k])) {
      idle = false;
      const bool rose = high[k] > low[k];
      const bool rises = faulty_high[k] > faulty_low[k];
      // Where it used to mute it has to do so at its other stop, else it only mutes no longer.
      const double least = std::min(faulty_low[k], faulty_high[k]);
      const bool far = std::abs(faulty_high[k] - faulty_low[k]) > kDoes * left && (!mutes || least < kOn);
      // The treble of a volume may find a way of its own, as through a tone's capacitor.
      const bool own_way = mutes && k % 2 == 1;
      backwards = backwards || (rose != rises && far && !own_way);
      on = on || (mutes && least > kOn);
    }
  }
  // What is wrong at a stop only, and not the control's own doing.
  if (!does || (!idle && !backwards && !on)) {
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
        note(found, change.sound, change.pickup, knob.pot, setting);
      }
    }
  }
  const bool own = is_of_pot(harness_, fault, knob.pot);
  if (own && moves && crackly(fault) && fault.element &&
      harness_[*fault.element].kind != ElementKind::Joint &&
      harness_[*fault.element].kind != ElementKind::Blob)
    note(found, Sound::Scratchy, std::nullopt, knob.pot, scene.setting);
  if (!does) return moves;
  if (idle) note(found, Sound::DoesNothing, std::nullopt, knob.pot, scene.setting);
  if (backwards) note(found, Sound::WorksBackwards, std::nullopt, knob.pot, scene.setting);
  if (on && !backwards) note(found, Sound::DoesNotMute, std::nullopt, knob.pot, scene.setting);
  if (own && !idle && !backwards && !on) of_travel(scene, knob, fault, size, found);
  return moves;
}

// Of a pot that is right at its stops, whether it has lost what lies between.
void Listener::of_travel(const Scene& scene, Knob& knob, const Fault& fault, double size,
                         std::vector<Complaint>& found) {
  const std::vector<PartId> pickups = pickups_of(scene.played->sound());
  const std::vector<double> low = levels(knob.low->sound(), pickups);
  const std::vector<double> high = levels(knob.high->sound(), pickups);
  for (const double place : {kNearStop, kHalfWay}) {
    const Played& played = between(scene, knob, place);
    const std::vector<double> sound = levels(played.sound(), pickups);
    const std::vector<double> faulty = levels(played.with(fault, size), pickups);
    for (std::size_t k = 0; k < low.size(); ++k) {
      const double range = high[k] - low[k];
      if (std::abs(range) < kDoes * std::max(low[k], high[k]) || std::max(low[k], high[k]) < kAudible)
        continue;
      const double was = (sound[k] - low[k]) / range;
      const double is = (faulty[k] - low[k]) / range;
      const bool all = is > kNearlyAll && is > was + kLeap;
      const bool nothing = is < kSilent && was > kAudible;
      if (!all && !nothing) continue;
      note(found, Sound::AllOrNothing, std::nullopt, knob.pot, scene.setting);
      return;
    }
  }
}

// A switch whose places used to sound different, and no longer do wherever they did.
void Listener::of_switches(const std::vector<Hearing>& faulty, std::vector<Complaint>& found) const {
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
    for (const Setting& setting : where) note(found, what, std::nullopt, control, setting);
  }
}

// Where nothing is heard with the pots at rest or at their stops: what is with one of them half way, as of a bleed.
std::vector<Complaint> Listener::half_way(const Fault& fault, double size) {
  std::vector<Complaint> found;
  for (Scene& scene : scenes_) {
    for (Knob& knob : scene.knobs) {
      const Played& played = between(scene, knob, kHalfWay);
      for (const Change& change : changes_in(played, fault, size)) {
        const bool cold = change.sound == Sound::Crackles || !in_the_sound(change.sound);
        if (!cold) note(found, change.sound, change.pickup, knob.pot, played.circuit().setting);
      }
    }
  }
  return found;
}

bool Listener::hidden_by_module(const Fault& fault, double size) const {
  const Fault worst = crackly(fault) ? let_go(harness_, fault) : fault;
  for (const Scene& scene : scenes_) {
    const Circuit& circuit = scene.played->circuit();
    if (circuit.modules.empty()) continue;
    // Its supply and its ground count as its signal does.
    if (parts_supply(harness_, circuit, with_fault(circuit, worst, size))) return true;
    const Played through(harness_, circuit, Modules::Joined);
    if (!changes(through.sound(), through.with(worst, size)).empty()) return true;
  }
  return false;
}

}  // namespace lugwise
