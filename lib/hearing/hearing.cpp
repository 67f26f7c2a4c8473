#include "hearing/hearing.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "hearing/inside/potential.h"
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

// What a sound ground path has at most from end to end, and the frequency at which a piezo's reactance is taken.
constexpr Ohms kGround = 10;
constexpr double kPiezoHertz = 1000;
constexpr double kTrebleHertz = 5000;  // and that of an inductor, for the treble

// A pickup is faintly heard from here on, and bleeds until it counts as on; by what was there before, at least.
constexpr double kFaint = 0.02;
constexpr double kOn = 2 * kAudible;

// Places of a switch are told apart from here on, and are alike up to here, as a share of the louder.
constexpr double kSwitched = 0.3;
constexpr double kAlike = 0.1;

// A knob gives all where it should give less by so much, as shares of what it does.
constexpr double kNearlyAll = 0.8;
constexpr double kLeap = 0.3;

// A knob's places at which one that gives all or nothing is told from a sound one.
constexpr double kNearStop = 0.2;
constexpr double kHalfWay = 5;

// What a module is taken for where it is asked only whether a signal goes through it.
constexpr Ohms kThroughModule = 1e4;

constexpr std::size_t kMostCombinations = 24;

// Where an amplifier is: each signal contact of each plug, against that plug's sleeve.
struct Outlet {
  PointId tip, sleeve;
};

std::vector<Outlet> outlets_of(const Harness& harness, const Circuit& circuit) {
  std::vector<Outlet> outlets;
  for (const Part& part : harness.parts()) {
    if (part.kind != PartKind::Jack) continue;
    const auto sleeve = harness.find_point(part.name + ".plug-sleeve");
    if (!sleeve || !circuit.has(*sleeve)) continue;
    for (const char* contact : {".plug-tip", ".plug-ring"}) {
      const auto tip = harness.find_point(part.name + contact);
      if (tip && circuit.has(*tip)) outlets.push_back({*tip, *sleeve});
    }
  }
  return outlets;
}

// Which points hang together through less than so many ohms a piece.
class Clusters {
 public:
  explicit Clusters(std::size_t points) : above_(points) {
    for (std::size_t i = 0; i < points; ++i) above_[i] = static_cast<std::uint32_t>(i);
  }
  std::uint32_t of(std::uint32_t point) {
    while (above_[point] != point) point = above_[point] = above_[above_[point]];
    return point;
  }
  void join(std::uint32_t a, std::uint32_t b) { above_[of(a)] = of(b); }
  bool together(std::uint32_t a, std::uint32_t b) { return of(a) == of(b); }

 private:
  std::vector<std::uint32_t> above_;
};

Ohms nominal(const Branch& branch) { return branch.ohms.nominal * branch.at_nominal; }

// By point, whether it is ground: a few ohms from a plug's sleeve.
std::vector<char> ground_of(const Circuit& circuit, const std::vector<Outlet>& outlets) {
  Clusters clusters(circuit.points);
  for (const Branch& branch : circuit.branches) {
    if (nominal(branch) < kGround) clusters.join(branch.a.index, branch.b.index);
  }
  std::vector<char> ground(circuit.points, 0);
  for (std::uint32_t i = 0; i < circuit.points; ++i) {
    ground[i] = std::any_of(outlets.begin(), outlets.end(),
                            [&](const Outlet& outlet) { return clusters.together(i, outlet.sleeve.index); });
  }
  return ground;
}

bool is_strings(const Point& point) {
  return point.name.ends_with(".strings") || point.name.ends_with(".bridge");
}

// What screens: a pickup's shield by whatever name, sheet metal, a braid. The other metal is what strings touch.
bool is_shield(const Harness& harness, PointId id) {
  const Point& point = harness[id];
  if (point.role == PointRole::WireEnd) return point.wire && harness[*point.wire].braid;
  if (!point.part) return false;
  const Part& part = harness[*point.part];
  if (part.kind == PartKind::Pickup) {
    if (point.role == PointRole::Surface) return true;
    return std::any_of(part.leads.begin(), part.leads.end(), [&](const auto& lead) {
      return lead.second == "shield" && harness.find_point(part.name + "." + lead.first) == id;
    });
  }
  return point.role == PointRole::Surface && part.kind == PartKind::Metal && part.points.size() == 1 &&
         !is_strings(point);
}

// What a hand touches on the way to the strings: the case of a pot with its shaft, the frame of a switch.
bool is_handle(const Harness& harness, const Point& point) {
  if (point.role != PointRole::Surface || !point.part) return false;
  const PartKind kind = harness[*point.part].kind;
  return kind == PartKind::Pot || kind == PartKind::Switch;
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

double Hearing::bass(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.bass; });
}

double Hearing::treble(std::optional<PartId> pickup) const {
  return total(voices, pickup, [](const Voice& voice) { return voice.treble; });
}

namespace {

// One circuit with amplifiers on its plugs; `ground` is what is ground if all is sound.
class Scan {
 public:
  Scan(const Harness& harness, const Circuit& circuit, const std::vector<Outlet>& outlets,
       const std::vector<char>& ground, const Fault* fault, bool through_modules)
      : harness_(harness),
        circuit_(circuit),
        outlets_(outlets),
        ground_(ground),
        dead_(fault && fault->mode == Mode::Open ? fault->element : std::nullopt),
        points_(circuit.points + (through_modules ? circuit.modules.size() : 0)) {
    for (const Branch& branch : circuit.branches)
      resistors_.push_back({branch.a.index, branch.b.index, nominal(branch)});
    if (!through_modules) return;
    for (std::size_t m = 0; m < circuit.modules.size(); ++m) {
      for (PointId point : circuit.modules[m]) {
        if (circuit.has(point))
          resistors_.push_back({point.index, static_cast<std::uint32_t>(circuit.points + m), kThroughModule});
      }
    }
  }

  Hearing run() {
    find_voices();
    still_ = resistors_;
    for (const Outlet& outlet : outlets_)
      resistors_.push_back({outlet.tip.index, outlet.sleeve.index, kAmplifier});
    listen(&Voice::bass);
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool capacitor = element.kind == ElementKind::Capacitor && !sounds(element);
      if (capacitor && dead_ != ElementId{i} && circuit_.has(element.a) && circuit_.has(element.b))
        resistors_.push_back({element.a.index, element.b.index, 0});
    }
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      const ElementId id = circuit_.branches[b].element;
      if (id.index == kNoElement || harness_[id].kind != ElementKind::Coil || sounds(harness_[id])) continue;
      const double henries = harness_[*harness_[id].part].value.value_or(0);
      resistors_[b].ohms += 2 * kPi * kTrebleHertz * henries;
    }
    listen(&Voice::treble);
    find_loose();
    find_hum();
    return std::move(hearing_);
  }

 private:
  static constexpr double kPi = 3.141592653589793;

  // Whether it is a source: a pickup's coil or piezo.
  bool sounds(const Element& element) const {
    return element.part && harness_[*element.part].kind == PartKind::Pickup;
  }

  void find_voices() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool piezo = element.kind == ElementKind::Capacitor;
      if ((element.kind != ElementKind::Coil && !piezo) || !sounds(element)) continue;
      if (!circuit_.has(element.a) || !circuit_.has(element.b)) continue;
      const std::size_t voice = hearing_.voices.size();
      hearing_.voices.push_back({ElementId{i}, *element.part, 0, 0});
      if (!piezo) {
        voice_of_[i] = voice;
      } else if (dead_ != ElementId{i}) {
        const double farads = harness_[*element.part].value.value_or(1e-9);
        voice_at_[static_cast<std::uint32_t>(resistors_.size())] = voice;
        resistors_.push_back({element.a.index, element.b.index, 1 / (2 * kPi * kPiezoHertz * farads)});
      }
    }
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      const auto voice = voice_of_.find(circuit_.branches[b].element.index);
      if (voice != voice_of_.end()) voice_at_[static_cast<std::uint32_t>(b)] = voice->second;
    }
  }

  // By reciprocity a volt in series with a coil makes as many volts at the plug as an ampere into the plug makes
  // amperes in the coil: one solve for all coils.
  void listen(double Voice::*part) {
    links_.clear();
    for (const Resistor& each : resistors_) links_.push_back({each.a, each.b, each.ohms});
    for (const Outlet& outlet : outlets_) {
      const std::vector<double>* volts =
          potentials_.solve(points_, links_, outlet.tip.index, outlet.sleeve.index);
      if (!volts) continue;  // the tip on the sleeve by no ohms at all
      for (const auto& [resistor, voice] : voice_at_) {
        const Resistor& coil = resistors_[resistor];
        if (coil.ohms > 0) hearing_.voices[voice].*part += ((*volts)[coil.a] - (*volts)[coil.b]) / coil.ohms;
      }
    }
  }

  // Without the amplifiers. Asked of what is not plainly on ground, which is little: the network is made only then.
  std::optional<Ohms> to_ground(PointId point) {
    if (!network_) network_.emplace(points_, still_);
    std::optional<Ohms> least;
    for (const Outlet& outlet : outlets_) {
      const auto ohms = network_->resistance(point.index, outlet.sleeve.index);
      if (ohms && (!least || *ohms < *least)) least = ohms;
    }
    return least;
  }

  void find_loose() {
    grounded_ = ground_of(circuit_, outlets_);
    for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
      const PointId id{i};
      const Point& point = harness_[id];
      if (!circuit_.has(id) || grounded_[i]) continue;
      std::vector<PointId>* loose = is_strings(point)            ? &hearing_.loose_strings
                                    : is_shield(harness_, id)    ? &hearing_.loose_shields
                                    : is_handle(harness_, point) ? &hearing_.loose_handles
                                                                 : nullptr;
      if (!loose) continue;
      const auto ohms = to_ground(id);
      if (!ohms || *ohms > kGrounded) loose->push_back(id);
    }
  }

  // A coil hums that hangs on a tip with neither end near ground; not one that only what used to be its ground ties to
  // that tip.
  void find_hum() {
    Clusters hot(circuit_.points);
    for (const Branch& branch : circuit_.branches) {
      if (!ground_[branch.a.index] && !ground_[branch.b.index]) hot.join(branch.a.index, branch.b.index);
    }
    const auto on_a_tip = [&](PointId end) {
      return !ground_[end.index] && std::any_of(outlets_.begin(), outlets_.end(), [&](const Outlet& outlet) {
        return hot.together(end.index, outlet.tip.index);
      });
    };
    for (const Branch& branch : circuit_.branches) {
      if (voice_of_.count(branch.element.index) == 0) continue;
      if (!on_a_tip(branch.a) && !on_a_tip(branch.b)) continue;
      if (grounded_[branch.a.index] || grounded_[branch.b.index]) continue;
      const auto from_a = to_ground(branch.a);
      if (from_a && *from_a <= kAntenna) continue;
      const auto from_b = to_ground(branch.b);
      if (!from_b || *from_b > kAntenna) hearing_.hums = true;
    }
  }

  const Harness& harness_;
  const Circuit& circuit_;
  const std::vector<Outlet>& outlets_;
  const std::vector<char>& ground_;
  std::vector<char> grounded_;     // what is on ground as it is
  std::optional<ElementId> dead_;  // an element that is open, capacitors included
  std::size_t points_;
  std::vector<Resistor> resistors_, still_;
  std::optional<Network> network_;
  Potentials potentials_;
  std::vector<Potentials::Link> links_;
  std::map<std::uint32_t, std::size_t> voice_of_;  // by element: coils
  std::map<std::uint32_t, std::size_t> voice_at_;  // by resistor
  Hearing hearing_;
};

// Whether the points of modules and batteries hang together through little in one circuit and not in the other.
bool parts_supply(const Harness& harness, const Circuit& sound, const Circuit& faulty) {
  std::vector<PointId> points;
  for (const Part& part : harness.parts()) {
    if (part.kind == PartKind::Module || part.kind == PartKind::Battery)
      points.insert(points.end(), part.points.begin(), part.points.end());
  }
  for (const Outlet& outlet : outlets_of(harness, sound)) points.push_back(outlet.sleeve);
  Clusters before(sound.points), after(faulty.points);
  for (const Branch& branch : sound.branches) {
    if (nominal(branch) < kGround) before.join(branch.a.index, branch.b.index);
  }
  for (const Branch& branch : faulty.branches) {
    if (nominal(branch) < kGround) after.join(branch.a.index, branch.b.index);
  }
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const std::uint32_t a = points[i].index, b = points[j].index;
      if (before.together(a, b) != after.together(a, b)) return true;
    }
  }
  return false;
}

std::optional<Hearing> scan(const Harness& harness, const Circuit& sound, const Fault* fault, double size,
                            bool through_modules) {
  const std::vector<Outlet> outlets = outlets_of(harness, sound);
  if (outlets.empty()) return std::nullopt;
  const std::vector<char> ground = ground_of(sound, outlets);
  if (!fault) return Scan(harness, sound, outlets, ground, nullptr, through_modules).run();
  const Circuit faulty = with_fault(sound, *fault, size);
  Hearing hearing = Scan(harness, faulty, outlets, ground, fault, through_modules).run();
  if (fault->mode == Mode::Value && fault->site == Site::Coil) {
    for (Voice& voice : hearing.voices) {
      if (voice.coil != fault->element) continue;
      voice.bass *= size;
      voice.treble *= size;
    }
  }
  return hearing;
}

}  // namespace

std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit) {
  return scan(harness, circuit, nullptr, 0, false);
}

std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit, const Fault& fault, double size) {
  return scan(harness, circuit, &fault, size, false);
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
  if (more_loose(sound.loose_strings, faulty.loose_strings)) {
    add(Sound::Buzzes, std::nullopt);
  } else if (faulty.hums && !sound.hums) {
    add(Sound::Hums, std::nullopt);
  } else if (more_loose(sound.loose_shields, faulty.loose_shields)) {
    add(Sound::BuzzesUntilTouched, std::nullopt);
  } else if (more_loose(sound.loose_handles, faulty.loose_handles)) {
    add(Sound::HumsWhenTouched, std::nullopt);
  }
  std::size_t turned = 0, heard = 0;
  for (PartId pickup : pickups_of(sound)) {
    if (sound.bass(pickup) < kAudible) {
      const bool silent = sound.treble(pickup) < kAudible;
      const double is = faulty.bass(pickup);
      if (silent && is > kOn) add(Sound::AlwaysOn, pickup);
      if (silent && is <= kOn && is > kFaint && is > 4 * sound.bass(pickup)) add(Sound::Bleeds, pickup);
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
      // The other coil no longer takes the hum away.
      if (left.lost_a_coil) add(Sound::Hums, pickup);
    } else if (left.bass < kQuieter) {
      add(Sound::Weak, pickup);
    } else if (left.treble < kQuieter * left.bass) {
      add(Sound::Dull, pickup);
    }
  }
  // One pickup against another: what they share cancels.
  if (turned > 0 && turned < heard) add(Sound::Hollow, std::nullopt);
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
      const Hearing& here = scenes_.back().hearing;
      knob.at_low = low == setting ? here : *hear(harness, knob.low);
      knob.at_high = high == setting ? here : *hear(harness, knob.high);
      scenes_.back().knobs.push_back(std::move(knob));
    }
  }
}

bool Listener::sounds(std::size_t setting, PartId pickup) const {
  const Hearing& hearing = scenes_[setting].hearing;
  return std::max(hearing.bass(pickup), hearing.treble(pickup)) >= kAudible;
}

std::vector<PartId> Listener::sounding(const Setting& setting) const {
  const auto known = std::find_if(scenes_.begin(), scenes_.end(),
                                  [&](const Scene& scene) { return scene.setting == setting; });
  const auto hearing = known != scenes_.end() ? std::optional(known->hearing)
                                              : hear(harness_, as_played(harness_, setting, stage_));
  std::vector<PartId> found;
  if (!hearing) return found;
  for (PartId pickup : pickups_of(*hearing)) {
    if (std::max(hearing->bass(pickup), hearing->treble(pickup)) >= kAudible) found.push_back(pickup);
  }
  return found;
}

std::vector<Change> Listener::changes_in(const Circuit& circuit, const Hearing& sound, const Fault& fault,
                                         double size) const {
  std::vector<Change> found = changes(sound, *hear(harness_, circuit, fault, size));
  if (!crackly(fault)) return found;
  for (const Change& change : changes(sound, *hear(harness_, circuit, let_go(harness_, fault), 0))) {
    if (in_the_sound(change.sound)) found.push_back({Sound::Crackles, change.pickup});
    if (!in_the_sound(change.sound) && std::find(found.begin(), found.end(), change) == found.end())
      found.push_back(change);
  }
  return found;
}

std::vector<Change> Listener::changes_in(const Setting& setting, const Fault& fault, double size) const {
  const Circuit circuit = as_played(harness_, setting, stage_);
  const auto sound = hear(harness_, circuit);
  return sound ? changes_in(circuit, *sound, fault, size) : std::vector<Change>();
}

std::vector<std::vector<Change>> Listener::changes_everywhere(const Fault& fault, double size) const {
  std::vector<std::vector<Change>> found;
  for (const Scene& scene : scenes_) found.push_back(changes_in(scene.circuit, scene.hearing, fault, size));
  return found;
}

std::vector<Hearing> Listener::hear_everywhere(const Fault& fault, double size) const {
  std::vector<Hearing> found;
  for (const Scene& scene : scenes_) found.push_back(*hear(harness_, scene.circuit, fault, size));
  return found;
}

std::vector<Complaint> Listener::of_controls(const Fault& fault, double size) const {
  return of_controls(fault, size, hear_everywhere(fault, size), changes_everywhere(fault, size));
}

std::vector<Complaint> Listener::of_controls(const Fault& fault, double size,
                                             const std::vector<Hearing>& faulty,
                                             const std::vector<std::vector<Change>>& here) const {
  std::vector<Complaint> found;
  std::map<PartId, std::size_t> moves;  // in how many settings a pot does something
  for (std::size_t i = 0; i < scenes_.size(); ++i) {
    for (const Knob& knob : scenes_[i].knobs)
      moves[knob.pot] += of_knob(scenes_[i], knob, faulty[i], here[i], fault, size, found) ? 1 : 0;
  }
  // A knob that works backwards in some places of the switches only is not what a player would say of it.
  std::erase_if(found, [&](const Complaint& each) {
    return each.sound == Sound::WorksBackwards && each.in.size() < moves[*each.control];
  });
  of_switches(faulty, found);
  return found;
}

std::vector<Complaint> Listener::complaints(const Fault& fault, double size) const {
  std::vector<Complaint> found;
  std::vector<std::vector<Change>> everywhere;
  std::vector<Hearing> faulty = hear_everywhere(fault, size);
  std::map<Sound, std::size_t> whole;  // in how many settings all that sounds has it
  for (std::size_t i = 0; i < scenes_.size(); ++i) {
    const Scene& scene = scenes_[i];
    const std::vector<PartId> pickups = pickups_of(scene.hearing);
    std::vector<Change> here = changes(scene.hearing, faulty[i]);
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
bool Listener::of_knob(const Scene& scene, const Knob& knob, const Hearing& at_rest,
                       const std::vector<Change>& here, const Fault& fault, double size,
                       std::vector<Complaint>& found) const {
  const std::vector<PartId> pickups = pickups_of(scene.hearing);
  const std::vector<double> low = levels(knob.at_low, pickups);
  const std::vector<double> high = levels(knob.at_high, pickups);
  // Most knobs rest at a stop, where the fault has been heard.
  const double rest = scene.setting.knob(knob.pot);
  const auto at_low = rest == 0 ? at_rest : hear(harness_, knob.low, fault, size);
  const auto at_high = rest == 10 ? at_rest : hear(harness_, knob.high, fault, size);
  const std::vector<double> faulty_low = levels(*at_low, pickups);
  const std::vector<double> faulty_high = levels(*at_high, pickups);
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
void Listener::of_travel(const Scene& scene, const Knob& knob, const Fault& fault, double size,
                         std::vector<Complaint>& found) const {
  const std::vector<PartId> pickups = pickups_of(scene.hearing);
  const std::vector<double> low = levels(knob.at_low, pickups);
  const std::vector<double> high = levels(knob.at_high, pickups);
  for (const double place : {kNearStop, kHalfWay}) {
    Setting setting = scene.setting;
    setting.turn(knob.pot, place);
    const Circuit circuit = as_played(harness_, setting, stage_);
    const std::vector<double> sound = levels(*hear(harness_, circuit), pickups);
    const std::vector<double> faulty = levels(*hear(harness_, circuit, fault, size), pickups);
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
        was = std::max(was, apart(scenes_[scenes.front()].hearing, scenes_[i].hearing));
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
std::vector<Complaint> Listener::half_way(const Fault& fault, double size) const {
  std::vector<Complaint> found;
  for (const Scene& scene : scenes_) {
    for (const Knob& knob : scene.knobs) {
      Setting setting = scene.setting;
      setting.turn(knob.pot, kHalfWay);
      for (const Change& change : changes_in(setting, fault, size)) {
        const bool cold = change.sound == Sound::Crackles || !in_the_sound(change.sound);
        if (!cold) note(found, change.sound, change.pickup, knob.pot, setting);
      }
    }
  }
  return found;
}

bool Listener::hidden_by_module(const Fault& fault, double size) const {
  const Fault worst = crackly(fault) ? let_go(harness_, fault) : fault;
  for (const Scene& scene : scenes_) {
    if (scene.circuit.modules.empty()) continue;
    // Its supply and its ground count as its signal does.
    if (parts_supply(harness_, scene.circuit, with_fault(scene.circuit, worst, size))) return true;
    const auto sound = scan(harness_, scene.circuit, nullptr, 0, true);
    const auto faulty = scan(harness_, scene.circuit, &worst, size, true);
    if (sound && faulty && !changes(*sound, *faulty).empty()) return true;
  }
  return false;
}

}  // namespace lugwise
