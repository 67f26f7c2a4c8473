// One circuit with amplifiers on its plugs, as a player has it. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "hearing/hearing.h"

namespace lugwise::hearing::inside {

// Where an amplifier is: each signal contact of each plug, against that plug's sleeve.
struct Outlet {
  PointId tip, sleeve;
};

class Played {
 public:
  // Where modules join their points, what goes through them is heard too.
  Played(const Harness& harness, Circuit circuit, Modules modules = Modules::Apart);

  // Whether a plug is in: without one nothing is heard.
  bool plugged() const { return !outlets_.empty(); }

  const Circuit& circuit() const { return circuit_; }
  const Hearing& sound() const { return sound_; }
  Hearing with(const Fault& fault, double size) const;

 private:
  // Of the sound circuit with an ampere into each plug in turn: volts by point, and amperes through each branch, the most
  // that any plug sends there.
  struct Flow {
    std::vector<std::vector<double>> volts;
    std::vector<double> amperes;
  };
  class Scan;

  bool changes_nothing(const Fault& fault) const;
  bool is_quiet(const Fault& fault, const Flow& flow, bool treble) const;

  const Harness& harness_;
  Circuit circuit_;
  Modules modules_;
  std::vector<Outlet> outlets_;
  std::vector<char> ground_;  // by point: what is ground if all is sound
  Hearing sound_;
  Flow bass_, treble_;
};

// Whether the points of modules and batteries hang together through little in one circuit and not in the other.
bool parts_supply(const Harness& harness, const Circuit& sound, const Circuit& faulty);

}  // namespace lugwise::hearing::inside
