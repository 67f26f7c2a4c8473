// What does the player hear: which share of each pickup's signal reaches the amplifier, and what hums?
//
// Each coil is a source in series with its own resistance, the amplifier a megohm at the plug. All is resistive, in two
// cases that bracket the rest: for the bass a capacitor is open, for the treble it is a wire.
//
// What solves a circuit, hear() here and all of a Listener, throws NetworkTooDense of the room network.
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

// The settings an ear tries: every place of the switches, the pots where they rest.
std::vector<Setting> settings_to_hear(const Harness& harness, std::optional<std::size_t> stage);

}  // namespace lugwise
