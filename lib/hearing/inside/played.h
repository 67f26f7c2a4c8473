// One circuit with amplifiers on its plugs, as a player has it. Private to this room.
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "hearing/hearing.h"
#include "hearing/inside/scan.h"

namespace lugwise::hearing::inside {

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
  enum class Pitch { Bass, Treble };

  Rig rig() const { return {harness_, outlets_, ground_, modules_}; }
  bool changes_nothing(const Fault& fault) const;
  bool is_quiet(const Fault& fault, const PlugFlow& flow, Pitch pitch) const;

  const Harness& harness_;
  Circuit circuit_;
  Modules modules_;
  std::vector<Outlet> outlets_;
  std::vector<char> ground_;  // by point: what is ground if all is sound
  Hearing sound_;
  PlugFlow bass_, treble_;
};

}  // namespace lugwise::hearing::inside
