#include "hearing/inside/scan.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>

#include "circuit/clusters.h"
#include "hearing/inside/potential.h"
#include "network/network.h"

namespace lugwise::hearing::inside {
namespace {

constexpr double kPi = 3.141592653589793;

// A body on the strings is grounded through less than this; a coil hums with more than that at both its ends.
constexpr Ohms kGrounded = 1e3;
constexpr Ohms kAntenna = 1e5;

// The frequency at which a piezo's reactance is taken.
constexpr double kPiezoHertz = 1000;
constexpr double kTrebleHertz = 5000;  // and that of an inductor, for the treble

// What a module is taken for where it is asked only whether a signal goes through it.
constexpr Ohms kThroughModule = 1e4;

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

class Scan {
 public:
  Scan(const Rig& rig, const Circuit& circuit, const Fault* fault)
      : harness_(rig.harness),
        circuit_(circuit),
        outlets_(rig.outlets),
        ground_(rig.ground),
        dead_(fault && fault->mode == Mode::Open ? fault->element : std::nullopt),
        points_(circuit.points + (rig.modules == Modules::Joined ? circuit.modules.size() : 0)) {
    for (const Branch& branch : circuit.branches)
      resistors_.push_back({branch.a.index, branch.b.index, nominal_ohms(branch)});
    if (rig.modules == Modules::Apart) return;
    for (std::size_t m = 0; m < circuit.modules.size(); ++m) {
      for (PointId point : circuit.modules[m]) {
        if (circuit.has(point))
          resistors_.push_back({point.index, static_cast<std::uint32_t>(circuit.points + m), kThroughModule});
      }
    }
  }

  Hearing run(const KnownVoices& known, PlugFlow* bass, PlugFlow* treble) {
    find_voices();
    still_ = resistors_;
    for (const Outlet& outlet : outlets_)
      resistors_.push_back({outlet.tip.index, outlet.sleeve.index, kAmplifier});
    listen(&Voice::bass, known.bass, bass);
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool capacitor = element.kind == ElementKind::Capacitor && !is_source(harness_, element);
      if (capacitor && dead_ != ElementId{i} && circuit_.has(element.a) && circuit_.has(element.b))
        resistors_.push_back({element.a.index, element.b.index, 0});
    }
    for (std::size_t b = 0; b < circuit_.branches.size(); ++b) {
      const ElementId id = circuit_.branches[b].element;
      if (id.index == kNoElement || harness_[id].kind != ElementKind::Coil ||
          is_source(harness_, harness_[id]))
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
  void find_voices() {
    for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
      const Element& element = harness_.elements()[i];
      const bool piezo = element.kind == ElementKind::Capacitor;
      if ((element.kind != ElementKind::Coil && !piezo) || !is_source(harness_, element)) continue;
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
  void listen(double Voice::*part, const Hearing* known, PlugFlow* flow) {
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

  void keep(const std::vector<double>& volts, PlugFlow& flow) const {
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

}  // namespace

bool is_source(const Harness& harness, const Element& element) {
  return element.part && harness[*element.part].kind == PartKind::Pickup;
}

Hearing scan(const Rig& rig, const Circuit& circuit, const Fault* fault, const KnownVoices& known,
             PlugFlow* bass, PlugFlow* treble) {
  return Scan(rig, circuit, fault).run(known, bass, treble);
}

}  // namespace lugwise::hearing::inside
