#include "hearing/hearing.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "network/network.h"

namespace lugwise {
namespace {

// What an ear notices; judgements all, no source.
constexpr double kSilent = 0.03;   // of what it should be: 30 dB down
constexpr double kQuieter = 0.7;   // 3 dB down
constexpr double kAudible = 0.05;  // of what a pickup makes
constexpr double kDoes = 0.5;      // a control that takes away half of something does something

// A body on the strings is grounded through less than this; a coil hums with more than that at both its ends.
constexpr Ohms kGrounded = 1e3;
constexpr Ohms kAntenna = 1e5;

constexpr std::size_t kMostCombinations = 24;

struct Plug {
  PointId tip, sleeve;
};

std::optional<Plug> plug_of(const Harness& harness, const Circuit& circuit) {
  for (const Part& part : harness.parts()) {
    if (part.kind != PartKind::Jack) continue;
    const auto tip = harness.find_point(part.name + ".plug-tip");
    const auto sleeve = harness.find_point(part.name + ".plug-sleeve");
    if (tip && sleeve && circuit.has(*tip) && circuit.has(*sleeve)) return Plug{*tip, *sleeve};
  }
  return std::nullopt;
}

bool is_strings(const Point& point) {
  return point.name.ends_with(".strings") || point.name.ends_with(".bridge");
}

// What screens: a pickup's shield, sheet metal, a braid. The other metal is what strings touch.
bool is_shield(const Harness& harness, const Point& point) {
  if (point.role == PointRole::WireEnd) return point.wire && harness[*point.wire].braid;
  if (point.role != PointRole::Surface || !point.part) return false;
  const Part& part = harness[*point.part];
  return part.kind == PartKind::Pickup ||
         (part.kind == PartKind::Metal && part.points.size() == 1 && !is_strings(point));
}

// Adds up over the coils of a pickup, or over all.
template <class Of>
double total(const std::vector<Voice>& voices, std::optional<PartId> pickup, Of of) {
  double sum = 0;
  for (const Voice& voice : voices) {
    if (!pickup || voice.pickup == *pickup) sum += std::abs(of(voice));
  }
  return sum;
}

std::vector<PartId> pickups_of(const Hearing& hearing) {
  std::vector<PartId> pickups;
  for (const Voice& voice : hearing.voices) {
    if (std::find(pickups.begin(), pickups.end(), voice.pickup) == pickups.end())
      pickups.push_back(voice.pickup);
  }
  return pickups;
}

const Voice* voice_of(const Hearing& hearing, ElementId coil) {
  for (const Voice& voice : hearing.voices) {
    if (voice.coil == coil) return &voice;
  }
  return nullptr;
}

// Is anything loose in one that was not loose in the other?
bool more_loose(const std::vector<PointId>& before, const std::vector<PointId>& after) {
  return std::any_of(after.begin(), after.end(), [&](PointId point) {
    return std::find(before.begin(), before.end(), point) == before.end();
  });
}

// One pickup, coil by coil, against what it was.
struct Compared {
  double bass = 0, treble = 0;  // what is left of the sound one's; coils that cancel take from each other
  bool lost_a_coil = false;     // one of several is gone, another is not
  bool against = false;         // its coils cancel each other
  bool turned = false;          // the whole of it is the other way round
};

Compared compare(const Hearing& sound, const Hearing& faulty, PartId pickup) {
  Compared result;
  double bass = 0, treble = 0;
  int gone = 0, kept = 0, turned = 0;
  for (const Voice& was : sound.voices) {
    if (was.pickup != pickup) continue;
    const Voice* is = voice_of(faulty, was.coil);
    const double own_bass = is ? is->bass * (was.bass < 0 ? -1 : 1) : 0;
    const double own_treble = is ? is->treble * (was.treble < 0 ? -1 : 1) : 0;
    bass += own_bass;
    treble += own_treble;
    if (std::abs(was.bass) < kAudible) continue;
    if (std::abs(own_bass) < kSilent * std::abs(was.bass)) {
      ++gone;
    } else {
      ++kept;
      turned += own_bass < 0 ? 1 : 0;
    }
  }
  // What was not there to begin with is no loss.
  const double was_bass = sound.bass(pickup);
  const double was_treble = sound.treble(pickup);
  if (was_bass >= kAudible) result.bass = std::abs(bass) / was_bass;
  result.treble = was_treble >= kAudible ? std::abs(treble) / was_treble : result.bass;
  if (was_bass < kAudible) result.bass = result.treble;
  result.lost_a_coil = gone > 0 && kept > 0;
  result.against = turned > 0 && turned < kept;
  result.turned = turned > 0 && turned == kept;
  return result;
}

// The levels a control moves: each pickup's bass and treble.
std::vector<double> levels(const Hearing& hearing, const std::vector<PartId>& pickups) {
  std::vector<double> levels;
  for (PartId pickup : pickups) {
    levels.push_back(hearing.bass(pickup));
    levels.push_back(hearing.treble(pickup));
  }
  return levels;
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

double Hearing::bass(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.bass; });
}

double Hearing::treble(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.treble; });
}

// By reciprocity a volt in series with a coil makes as many volts at the plug as an ampere into the plug makes amperes in
// the coil: one solve for all coils.
std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit) {
  const auto plug = plug_of(harness, circuit);
  if (!plug) return std::nullopt;
  Hearing hearing;
  std::map<std::uint32_t, std::size_t> voice_at;  // by element
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    if (element.kind != ElementKind::Coil || !circuit.has(element.a) || !circuit.has(element.b)) continue;
    voice_at[i] = hearing.voices.size();
    hearing.voices.push_back({ElementId{i}, *element.part, 0, 0});
  }
  std::vector<Resistor> resistors;
  for (const Branch& branch : circuit.branches)
    resistors.push_back({branch.a.index, branch.b.index, branch.ohms.nominal * branch.at_nominal});
  const Network still(circuit.points, resistors);
  resistors.push_back({plug->tip.index, plug->sleeve.index, kAmplifier});
  const auto listen = [&](const Network& network, double Voice::*part) {
    const auto flow = network.flow(plug->tip.index, plug->sleeve.index);
    if (!flow) return;  // the tip on the sleeve by no ohms at all
    for (const Current& current : flow->currents) {
      if (current.resistor >= circuit.branches.size()) continue;
      const auto voice = voice_at.find(circuit.branches[current.resistor].element.index);
      if (voice != voice_at.end()) hearing.voices[voice->second].*part = current.amperes;
    }
  };
  listen(Network(circuit.points, resistors), &Voice::bass);
  for (const Element& element : harness.elements()) {
    if (element.kind == ElementKind::Capacitor && circuit.has(element.a) && circuit.has(element.b))
      resistors.push_back({element.a.index, element.b.index, 0});
  }
  listen(Network(circuit.points, resistors), &Voice::treble);

  const auto to_ground = [&](PointId point) { return still.resistance(point.index, plug->sleeve.index); };
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const PointId id{i};
    const Point& point = harness[id];
    if (!circuit.has(id)) continue;
    const bool strings = is_strings(point);
    if (!strings && !is_shield(harness, point)) continue;
    const auto ohms = to_ground(id);
    if (!ohms || *ohms > kGrounded) (strings ? hearing.loose_strings : hearing.loose_shields).push_back(id);
  }
  for (const Branch& branch : circuit.branches) {
    if (branch.element.index == kNoElement || harness[branch.element].kind != ElementKind::Coil) continue;
    if (!still.connected(branch.a.index, plug->tip.index)) continue;
    const auto from_a = to_ground(branch.a);
    const auto from_b = to_ground(branch.b);
    if ((!from_a || *from_a > kAntenna) && (!from_b || *from_b > kAntenna)) hearing.hums = true;
  }
  return hearing;
}

std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit, const Fault& fault, double size) {
  auto hearing = hear(harness, with_fault(circuit, fault, size));
  if (!hearing || fault.mode != Mode::Value || fault.site != Site::Coil) return hearing;
  for (Voice& voice : hearing->voices) {
    if (voice.coil != fault.element) continue;
    voice.bass *= size;
    voice.treble *= size;
  }
  return hearing;
}

Circuit as_played(const Harness& harness, const Setting& setting, std::optional<std::size_t> stage) {
  State state;
  state.setting = setting;
  state.stage = stage;
  state.cavity_open = false;
  return circuit_of(harness, state);
}

std::vector<Change> changes(const Hearing& sound, const Hearing& faulty) {
  std::vector<Change> found;
  const auto add = [&](Sound what, std::optional<PartId> pickup) {
    const Change change{what, pickup};
    if (std::find(found.begin(), found.end(), change) == found.end()) found.push_back(change);
  };
  const bool loose = more_loose(sound.loose_strings, faulty.loose_strings);
  if (loose || (faulty.hums && !sound.hums)) {
    add(Sound::Buzzes, std::nullopt);
  } else if (more_loose(sound.loose_shields, faulty.loose_shields)) {
    add(Sound::BuzzesUntilTouched, std::nullopt);
  }
  std::size_t turned = 0, heard = 0;
  for (PartId pickup : pickups_of(sound)) {
    if (sound.bass(pickup) < kAudible) {
      const bool silent = sound.treble(pickup) < kAudible;
      if (silent && faulty.bass(pickup) > 2 * kAudible) add(Sound::AlwaysOn, pickup);
      if (silent) continue;
    }
    const Compared left = compare(sound, faulty, pickup);
    if (std::max(left.bass, left.treble) < kSilent) {
      add(Sound::Silent, pickup);
      continue;
    }
    ++heard;
    turned += left.turned ? 1 : 0;
    if (left.against || left.lost_a_coil || (left.bass < kQuieter && left.treble > 1.4 * left.bass)) {
      add(Sound::Thin, pickup);
    } else if (left.bass < kQuieter) {
      add(Sound::Weak, pickup);
    } else if (left.treble < kQuieter * left.bass) {
      add(Sound::Dull, pickup);
    }
  }
  // One pickup against another: what they share cancels.
  if (turned > 0 && turned < heard) add(Sound::Thin, std::nullopt);
  return found;
}

std::vector<Setting> settings_to_hear(const Harness& harness, std::optional<std::size_t> stage) {
  std::vector<Setting> settings{Setting(harness)};
  std::size_t combinations = 1;
  std::vector<PartId> switches;
  for (PartId control : harness.controls()) {
    const Part& part = harness[control];
    const auto missing = [&] {
      if (!stage) return false;
      const auto& without = harness.stages()[*stage].without;
      return std::find(without.begin(), without.end(), control) != without.end();
    };
    if (part.kind != PartKind::Switch || missing()) continue;
    switches.push_back(control);
    combinations = std::min(kMostCombinations + 1, combinations * part.positions.size());
  }
  for (PartId control : switches) {
    const std::vector<Setting> before =
        combinations > kMostCombinations ? std::vector{settings.front()} : settings;
    for (std::uint16_t place = 1; place < harness[control].positions.size(); ++place) {
      for (Setting setting : before) {
        setting.select(control, place);
        settings.push_back(std::move(setting));
      }
    }
  }
  return settings;
}

Listener::Listener(const Harness& harness, std::optional<std::size_t> stage)
    : harness_(harness), stage_(stage) {
  for (const Setting& setting : settings_to_hear(harness, stage)) {
    Circuit circuit = as_played(harness, setting, stage);
    auto hearing = hear(harness, circuit);
    if (!hearing) return;
    scenes_.push_back({setting, std::move(circuit), std::move(*hearing), {}});
    for (PartId control : harness.controls()) {
      if (harness[control].kind != PartKind::Pot) continue;
      Setting low = setting, high = setting;
      low.turn(control, 0);
      high.turn(control, 10);
      Knob knob{control, as_played(harness, low, stage), as_played(harness, high, stage), {}, {}};
      if (!knob.low.has(harness[control].pot->lug1)) continue;
      knob.at_low = *hear(harness, knob.low);
      knob.at_high = *hear(harness, knob.high);
      scenes_.back().knobs.push_back(std::move(knob));
    }
  }
}

std::vector<Change> Listener::changes_in(const Setting& setting, const Fault& fault, double size) const {
  const Circuit circuit = as_played(harness_, setting, stage_);
  const auto sound = hear(harness_, circuit);
  if (!sound) return {};
  std::vector<Change> found = changes(*sound, *hear(harness_, circuit, fault, size));
  if (!crackly(fault)) return found;
  for (const Change& change : changes(*sound, *hear(harness_, circuit, let_go(harness_, fault), 0))) {
    if (in_the_sound(change.sound)) found.push_back({Sound::Crackles, change.pickup});
    if (!in_the_sound(change.sound) && std::find(found.begin(), found.end(), change) == found.end())
      found.push_back(change);
  }
  return found;
}

std::vector<Complaint> Listener::complaints(const Fault& fault, double size) const {
  std::vector<Complaint> found;
  std::map<Sound, std::size_t> whole;  // in how many settings all that sounds has it
  for (const Scene& scene : scenes_) {
    const auto faulty = hear(harness_, scene.circuit, fault, size);
    const std::vector<PartId> pickups = pickups_of(scene.hearing);
    std::vector<Change> here = changes(scene.hearing, *faulty);
    if (crackly(fault)) {
      const auto open = hear(harness_, scene.circuit, let_go(harness_, fault), 0);
      for (const Change& change : changes(scene.hearing, *open)) {
        if (in_the_sound(change.sound)) here.push_back({Sound::Crackles, change.pickup});
      }
    }
    // What is true of all that sounds is said once.
    std::size_t sounding = 0;
    for (PartId pickup : pickups) sounding += scene.hearing.bass(pickup) >= kAudible ? 1 : 0;
    for (const Change& change : here) {
      std::optional<PartId> pickup = change.pickup;
      const auto alike = [&](const Change& each) { return each.sound == change.sound && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), alike));
      if (pickup && change.sound != Sound::AlwaysOn && pickups.size() > 1 && sounding > 1 &&
          count == sounding)
        pickup.reset();
      note(found, change.sound, pickup, std::nullopt, scene.setting);
    }
    for (const Sound what : {Sound::Silent, Sound::Weak, Sound::Thin, Sound::Dull, Sound::Crackles}) {
      const auto has = [&](const Change& each) { return each.sound == what && each.pickup; };
      const auto count = static_cast<std::size_t>(std::count_if(here.begin(), here.end(), has));
      whole[what] += count > 0 && count == sounding ? 1 : 0;
    }
    for (const Knob& knob : scene.knobs) {
      const std::vector<double> low = levels(knob.at_low, pickups);
      const std::vector<double> high = levels(knob.at_high, pickups);
      const auto at_low = hear(harness_, knob.low, fault, size);
      const auto at_high = hear(harness_, knob.high, fault, size);
      const std::vector<double> faulty_low = levels(*at_low, pickups);
      const std::vector<double> faulty_high = levels(*at_high, pickups);
      bool idle = true, does = false, backwards = false, on = false;
      for (std::size_t k = 0; k < low.size(); ++k) {
        const double most = std::max(low[k], high[k]);
        if (most < kAudible || std::abs(high[k] - low[k]) < kDoes * most) continue;
        const double left = std::max(faulty_low[k], faulty_high[k]);
        if (left < kAudible) continue;
        does = true;
        if (!about_the_same(faulty_low[k], faulty_high[k])) {
          idle = false;
          const bool rose = high[k] > low[k];
          const bool rises = faulty_high[k] > faulty_low[k];
          const bool far = std::abs(faulty_high[k] - faulty_low[k]) > kDoes * left;
          backwards = backwards || (rose != rises && far);
          const bool muted = std::min(low[k], high[k]) < kSilent * most;
          // Bass and treble both: else it is a tone's doing.
          const std::size_t other = k ^ 1U;
          const bool both = std::min(low[other], high[other]) < kSilent * std::max(low[other], high[other]);
          on = on || (muted && both && std::min(faulty_low[k], faulty_high[k]) > 2 * kAudible);
        }
      }
      // What is wrong at a stop only, and not the control's own doing.
      if (!does || (!idle && !backwards && !on)) {
        for (const auto& [was, is, stop] :
             {std::tuple(&knob.at_low, &*at_low, 0.0), std::tuple(&knob.at_high, &*at_high, 10.0)}) {
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
      if (!does) continue;
      if (idle) note(found, Sound::DoesNothing, std::nullopt, knob.pot, scene.setting);
      if (backwards) note(found, Sound::WorksBackwards, std::nullopt, knob.pot, scene.setting);
      if (on && !backwards) note(found, Sound::DoesNotMute, std::nullopt, knob.pot, scene.setting);
    }
  }
  say_once(scenes_.size(), whole, found);
  return found;
}

}  // namespace lugwise
