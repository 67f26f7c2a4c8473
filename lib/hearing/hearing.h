// What does the player hear: which share of each pickup's signal reaches the amplifier, and what hums?
//
// Each coil is a source in series with its own resistance, the amplifier a megohm at the plug. All is resistive, in two
// cases that bracket the rest: for the bass a capacitor is open, for the treble it is a wire.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "hearing/sound.h"

namespace lugwise {

// An amplifier's input: common practice, no source.
inline constexpr Ohms kAmplifier = 1e6;

// One coil at the plug: volts there for each volt it makes from its first end to its second.
struct Voice {
  ElementId coil;
  PartId pickup;
  double bass = 0;
  double treble = 0;
};

// One circuit with the amplifier on its plug.
struct Hearing {
  std::vector<Voice> voices;           // one a coil that is there, in the order of the elements
  std::vector<PointId> loose_strings;  // bridge and strings that have no good path to the sleeve
  std::vector<PointId> loose_shields;  // and shields, braids and sheet metal that have none
  std::vector<PointId> loose_handles;  // and cases of pots and frames of switches, which hands touch
  bool hums = false;                   // a coil hangs on the tip with neither end near ground

  // Of one pickup's coils, or of all of them: what they add up to if they all help each other.
  double bass(std::optional<PartId> pickup = std::nullopt) const;
  double treble(std::optional<PartId> pickup = std::nullopt) const;
};

// Nothing where no jack with its plug in is there. Of several jacks the first is meant.
std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit);

// The same with a fault. Of a coil whose value is wrong, the share of its turns sounds that its ohms have.
std::optional<Hearing> hear(const Harness& harness, const Circuit& circuit, const Fault& fault, double size);

// The circuit as it is played: all closed up, the plug in.
Circuit as_played(const Harness& harness, const Setting& setting, std::optional<std::size_t> stage);

struct Change {
  Sound sound = Sound::Silent;
  std::optional<PartId> pickup;  // none: all of it
  friend bool operator==(const Change&, const Change&) = default;
};

// What is different to the ear in one setting. Nothing about controls, nor what only crackles.
std::vector<Change> changes(const Hearing& sound, const Hearing& faulty);

struct Complaint {
  Sound sound = Sound::Silent;
  std::optional<PartId> pickup;   // none: all of it
  std::optional<PartId> control;  // of or at this control
  std::vector<Setting> in;        // where it is heard, of the settings tried
};

// The settings an ear tries: every place of the switches, the pots where they rest.
std::vector<Setting> settings_to_hear(const Harness& harness, std::optional<std::size_t> stage);

// The ear of one harness at one stage: what each fault would do to the player. `size` as in with_fault. It keeps what the
// sound harness does, so that many faults can be asked.
class Listener {
 public:
  Listener(const Harness& harness, std::optional<std::size_t> stage);

  // All that a player would complain of; empty: no change to be heard.
  std::vector<Complaint> complaints(const Fault& fault, double size) const;

  // Whether a fault without complaints has none only because its signal goes through a module, which is not modelled.
  bool hidden_by_module(const Fault& fault, double size) const;

  // One setting alone: what a player notes there. Crackles count, controls don't.
  std::vector<Change> changes_in(const Setting& setting, const Fault& fault, double size) const;

  // The same in each of the settings tried, in their order.
  std::vector<std::vector<Change>> changes_everywhere(const Fault& fault, double size) const;

  // What is wrong with pots and switches, or is heard at their stops only.
  std::vector<Complaint> of_controls(const Fault& fault, double size) const;

  // The settings tried, and whether a pickup sounds there if all is sound.
  std::size_t settings() const { return scenes_.size(); }
  const Setting& setting(std::size_t i) const { return scenes_[i].setting; }
  bool sounds(std::size_t setting, PartId pickup) const;

  // The pickups that sound in a setting if all is sound.
  std::vector<PartId> sounding(const Setting& setting) const;

  // Whether there is anything to be heard at all.
  bool plugged() const { return !scenes_.empty(); }

 private:
  // A place of the switches, and each pot at both its stops.
  struct Knob {
    PartId pot;
    Circuit low, high;
    Hearing at_low, at_high;
  };
  struct Scene {
    Setting setting;
    Circuit circuit;
    Hearing hearing;
    std::vector<Knob> knobs;
  };

  std::vector<Change> changes_in(const Circuit& circuit, const Hearing& sound, const Fault& fault,
                                 double size) const;
  bool of_knob(const Scene& scene, const Knob& knob, const Hearing& at_rest, const std::vector<Change>& here,
               const Fault& fault, double size, std::vector<Complaint>& found) const;
  void of_travel(const Scene& scene, const Knob& knob, const Fault& fault, double size,
                 std::vector<Complaint>& found) const;
  void of_switches(const std::vector<Hearing>& faulty, std::vector<Complaint>& found) const;
  std::vector<Complaint> of_controls(const Fault& fault, double size, const std::vector<Hearing>& faulty,
                                     const std::vector<std::vector<Change>>& here) const;
  std::vector<Complaint> half_way(const Fault& fault, double size) const;
  std::vector<Hearing> hear_everywhere(const Fault& fault, double size) const;

  const Harness& harness_;
  std::optional<std::size_t> stage_;
  std::vector<Scene> scenes_;
};

}  // namespace lugwise
