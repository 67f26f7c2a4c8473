// One hearing of a circuit: what each coil sends to the plugs, what is loose and what hums. Private to this room.
#pragma once

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "circuit/clusters.h"
#include "fault/fault.h"
#include "hearing/hearing.h"
#include "hearing/inside/outlet.h"
#include "hearing/inside/potential.h"
#include "network/network.h"

namespace lugwise::hearing::inside {

// Of a circuit with an ampere into each plug in turn: volts by point, and amperes through each branch, the most that any plug
// sends there.
struct PlugFlow {
  std::vector<std::vector<double>> volts;
  std::vector<double> amperes;
};

// Whether an element is a source: a pickup's coil or piezo.
bool is_source(const Harness& harness, const Element& element);

class Scan {
 public:
  // `ground` is what is ground if all is sound, by point. Where modules join their points, what goes through them is heard too.
  // All that is passed must outlive it, but for the fault.
  Scan(const Harness& harness, const Circuit& circuit, const std::vector<Outlet>& outlets,
       const std::vector<char>& ground, Modules modules, const Fault* fault);

  // Voices that a fault leaves as they were if all is sound; null: they have to be found.
  struct Known {
    const Hearing* bass = nullptr;
    const Hearing* treble = nullptr;
  };

  // Once. `bass`, `treble`: where the flow is to be kept. Throws NetworkTooDense.
  Hearing run(const Known& known, PlugFlow* bass = nullptr, PlugFlow* treble = nullptr);

 private:
  void find_voices();
  std::optional<std::size_t> voice_of(ElementId element) const;
  void listen(double Voice::*part, const Hearing* known, PlugFlow* flow);
  void keep(const std::vector<double>& volts, PlugFlow& flow) const;
  std::optional<Ohms> to_ground(PointId point);
  void find_loose();
  void find_hum();

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

}  // namespace lugwise::hearing::inside
