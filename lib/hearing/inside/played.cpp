#include "hearing/inside/played.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "circuit/clusters.h"
#include "hearing/inside/potential.h"
#include "network/network.h"

namespace lugwise::hearing::inside {
namespace {

// A body on the strings is grounded through less than this; a coil hums with more than that at both its ends.
constexpr Ohms kGrounded = 1e3;
constexpr Ohms kAntenna = 1e5;

// What a sound ground path has at most from end to end, and the frequency at which a piezo's reactance is taken.
constexpr Ohms kGround = 10;
constexpr double kPiezoHertz = 1000;
constexpr double kTrebleHertz = 5000;  // and that of an inductor, for the treble

// What a module is taken for where it is asked only whether a signal goes through it.
constexpr Ohms kThroughModule = 1e4;

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

// Whether it is a source: a pickup's coil or piezo.
bool sounds(const Harness& harness, const Element& element) {
  return element.part && harness[*element.part].kind == PartKind::Pickup;
}

// What a hand touches on the way to the strings: the case of a pot with its shaft, the frame of a switch.
bool is_handle(const Harness& harness, const Point& point) {
  if (point.role != PointRole::Surface || !point.part) return false;
  const PartKind kind = harness[*point.part].kind;
  return kind == PartKind::Pot || kind == PartKind::Switch;
}

// What sends less than this of an ampere at the plug through itself does not matter to the signal.
constexpr double kQuiet = 1e-7;

}  // namespace

// One hearing of the circuit, or of what a fault makes of it.
class Played::Scan {
 public:
  Scan(const Played& played, const Circuit& circuit, const Fault* fault)
      : harness_(played.harness_),
        circuit_(circuit),
        outlets_(played.outlets_),
        ground_(played.ground_),
        dead_(fault && fault->mode == Mode::Open ? fault->element : std::nullopt),
        points_(circuit.points + (played.modules_ == Modules::Joined ? circuit.modules.size() : 0)) {
    for (const Branch& branch : circuit.branches)
      resistors_.push_back({branch.a.index, branch.b.index, nominal(branch)});
    if (played.modules_ == Modules::Apart) return;
    for (std::size_t m = 0; m < circuit.modules.size(); ++m) {
      for (PointId point : circuit.modules[m]) {
        if (circuit.has(point))
          resistors_.push_back({point.index, static_cast<std::uint32_t>(circuit.points + m), kThroughModule});
      }
    }
  }

  // `bass`, `treble`: where the flow of the sound circuit is to be kept. `as_was`: voices that a fault leaves as they were
  // in that, or null where they have to be found.
  struct Known {
    const Hearing* bass = nullptr;
    const Hearing* treble = nullptr;
  };
  Hearing run(const Known& known, Flow* bass = nullptr, Flow* treble = nullptr) {
    find_voices();
    still_ = resistors_;
    for (const Outlet& outlet : outlets_)
      resistors_.push_back({outlet.tip.index, outlet.sleeve.index, kAmplifier});
    listen(&Voice::bass, known.bass, bass);
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool capacitor = element.kind == ElementKind::Capacitor && !sounds(harness_, element);
      if (capacitor && dead_ != ElementId{i} && circuit_.has(element.a) && circuit_.has(element.b))
        resistors_.push_back({element.a.index, element.b.index, 0});
    }
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      const ElementId id = circuit_.branches[b].element;
      if (id.index == kNoElement || harness_[id].kind != ElementKind::Coil || sounds(harness_, harness_[id]))
        continue;
      const double henries = harness_[*harness_[id].part].value.value_or(0);
      resistors_[b].ohms += 2 * kPi * kTrebleHertz * henries;
    }
    listen(&Voice::treble, known.treble, treble);
    find_loose();
    find_hum();
    return std::move(hearing_);
  }

 private:
  static constexpr double kPi = 3.141592653589793;

  void find_voices() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool piezo = element.kind == ElementKind::Capacitor;
      if ((element.kind != ElementKind::Coil && !piezo) || !sounds(harness_, element)) continue;
      if (!circuit_.has(element.a) || !circuit_.has(element.b)) continue;
      const std::size_t voice = hearing_.voices.size();
      hearing_.voices.push_back({ElementId{i}, *element.part, 0, 0});
      if (!piezo) {
        voice_of_.emplace_back(i, voice);
      } else if (dead_ != ElementId{i}) {
        const double farads = harness_[*element.part].value.value_or(1e-9);
        voice_at_.emplace_back(static_cast<std::uint32_t>(resistors_.size()), voice);
        resistors_.push_back({element.a.index, element.b.index, 1 / (2 * kPi * kPiezoHertz * farads)});
      }
    }
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      if (const auto voice = voice_of(circuit_.branches[b].element))
        voice_at_.emplace_back(static_cast<std::uint32_t>(b), *voice);
    }
  }

  std::optional<std::size_t> voice_of(ElementId element) const {
    for (const auto& [coil, voice] : voice_of_) {
      if (coil == element.index) return voice;
    }
    return std::nullopt;
  }

  // By reciprocity a volt in series with a coil makes as many volts at the plug as an ampere into the plug makes
  // amperes in the coil: one solve for all coils.
  void listen(double Voice::*part, const Hearing* known, Flow* flow) {
    if (known) {
      for (std::size_t i = 0; i < hearing_.voices.size(); ++i)
        hearing_.voices[i].*part = known->voices[i].*part;
      return;
    }
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
      if (flow) keep(*volts, *flow);
    }
  }

  void keep(const std::vector<double>& volts, Flow& flow) const {
    flow.volts.push_back(volts);
    flow.amperes.resize(circuit_.branches.size(), 0);
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      const Resistor& each = resistors_[b];
      const double amperes = each.ohms > 0 ? std::abs(volts[each.a] - volts[each.b]) / each.ohms : HUGE_VAL;
      flow.amperes[b] = std::max(flow.amperes[b], amperes);
    }
  }

  // Without the amplifiers; none where nothing joins it to any plug's sleeve.
  std::optional<Ohms> to_ground(PointId point) {
    if (!joined_) {
      joined_.emplace(points_);
      links_.clear();
      for (const Resistor& each : still_) {
        joined_->join(each.a, each.b);
        links_.push_back({each.a, each.b, each.ohms});
      }
    }
    std::optional<Ohms> least;
    for (const Outlet& outlet : outlets_) {
      if (!joined_->together(point.index, outlet.sleeve.index)) continue;
      const auto* volts = potentials_.solve(points_, links_, point.index, outlet.sleeve.index);
      const Ohms ohms = volts ? (*volts)[point.index] : 0;
      if (!least || ohms < *least) least = ohms;
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
      if (!voice_of(branch.element)) continue;
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
  std::optional<Clusters> joined_;  // by any ohms at all, without the amplifiers
  Potentials potentials_;
  std::vector<Potentials::Link> links_;
  std::vector<std::pair<std::uint32_t, std::size_t>> voice_of_;  // coils, few: their elements
  std::vector<std::pair<std::uint32_t, std::size_t>> voice_at_;  // and all that sounds: their resistors
  Hearing hearing_;
};

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

Played::Played(const Harness& harness, Circuit circuit, Modules modules)
    : harness_(harness),
      circuit_(std::move(circuit)),
      modules_(modules),
      outlets_(outlets_of(harness, circuit_)) {
  if (!plugged()) return;
  ground_ = ground_of(circuit_, outlets_);
  sound_ = Scan(*this, circuit_, nullptr).run({}, &bass_, &treble_);
}

// An element that does not conduct here can't break, and no track is worn where its knob rests.
bool Played::changes_nothing(const Fault& fault) const {
  if (!acts_in(fault, circuit_) || is_worn_track(fault)) return true;
  if (fault.mode == Mode::Short || fault.mode == Mode::Misplaced) return false;
  const Element& element = harness_[*fault.element];
  if (element.kind == ElementKind::Capacitor) return fault.mode != Mode::Open;
  return std::none_of(circuit_.branches.begin(), circuit_.branches.end(),
                      [&](const Branch& branch) { return branch.element == fault.element; });
}

// Whether the signal is what it was. What carries nothing can be taken off or changed without the currents elsewhere
// changing (the compensation theorem), and points at one potential can be joined.
bool Played::is_quiet(const Fault& fault, const Flow& flow, bool treble) const {
  if (flow.volts.size() != outlets_.size() || fault.mode == Mode::Misplaced) return false;
  if (fault.mode == Mode::Short) {
    if (!circuit_.has(fault.a) || !circuit_.has(fault.b)) return true;
    return std::all_of(flow.volts.begin(), flow.volts.end(), [&](const std::vector<double>& volts) {
      return std::abs(volts[fault.a.index] - volts[fault.b.index]) < kQuiet * kShort.nominal;
    });
  }
  const Element& element = harness_[*fault.element];
  if (element.kind == ElementKind::Capacitor) return !treble && !sounds(harness_, element);
  for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
    if (circuit_.branches[b].element == fault.element && flow.amperes[b] > kQuiet) return false;
  }
  return true;
}

Hearing Played::with(const Fault& fault, double size) const {
  if (changes_nothing(fault)) return sound_;
  const Circuit faulty = with_fault(circuit_, fault, size);
  Scan::Known known;
  if (is_quiet(fault, bass_, false)) known.bass = &sound_;
  if (is_quiet(fault, treble_, true)) known.treble = &sound_;
  Hearing hearing = Scan(*this, faulty, &fault).run(known);
  if (fault.mode == Mode::Value && fault.site == Site::Coil) {
    for (Voice& voice : hearing.voices) {
      if (voice.coil != fault.element) continue;
      voice.bass *= size;
      voice.treble *= size;
    }
  }
  return hearing;
}

}  // namespace lugwise::hearing::inside
