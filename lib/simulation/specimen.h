// One harness as it might lie on the bench: every part somewhere inside its limits, and perhaps a fault. What it reads is
// solved from its resistors; none of the formulas that the plan and the diagnosis use.
#pragma once

#include <map>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "network/network.h"
#include "simulation/dice.h"

namespace lugwise {

// A fault of a list, and how large it is: the ohms of a High, the factor of a Value. One that comes and goes is there only
// while what is loose is pressed and moved.
struct Ailment {
  std::size_t fault = 0;
  double size = 0;
  bool comes_and_goes = false;
};

// The circuits of one harness with and without each fault, found when first asked for and kept: specimens share them.
class Workbench {
 public:
  // The faults must outlive the workbench.
  Workbench(const Harness& harness, std::optional<std::size_t> stage, const std::vector<Fault>& faults);

  struct Place {
    Setting setting;
    bool cavity_open = true;
    std::vector<PointId> lifted;
    friend bool operator<(const Place& x, const Place& y) {
      return std::tie(x.setting, x.cavity_open, x.lifted) < std::tie(y.setting, y.cavity_open, y.lifted);
    }
  };
  // With the coils at 20 degrees C. With one ailment or none the network's shape is kept for the next specimen.
  struct Wired {
    Circuit circuit;
    std::optional<Network> shape;
  };
  const Circuit& sound(const Place& place);
  // Until the next is asked for.
  Wired& wired(const Place& place, std::size_t fault, double size);

  const Harness& harness() const { return harness_; }
  const std::vector<Fault>& faults() const { return faults_; }

 private:
  struct Known {
    Circuit sound;
    std::map<std::size_t, Wired> with;
  };
  Known& known(const Place& place);

  const Harness& harness_;
  std::optional<std::size_t> stage_;
  const std::vector<Fault>& faults_;
  std::map<Place, Known> known_;
  std::size_t held_ = 0;  // branches of all circuits with a fault
};

class Specimen {
 public:
  // Draws coils, tracks and resistors evenly between their limits, all else evenly by decades from its usual value to its
  // most, and the temperature from kColdest to kWarmest, unless the coils' is given.
  Specimen(Workbench& bench, std::vector<Ailment> ailments, Dice& dice,
           std::optional<double> celsius = std::nullopt);

  // What lies between two points; none: open. The point's parts must be there. Throws NetworkTooDense.
  std::optional<Ohms> ohms(const Workbench::Place& place, PointId a, PointId b);

  // The same as if other things were wrong with it. Throws NetworkTooDense.
  std::optional<Ohms> ohms_with(const std::vector<Ailment>& ailments, const Workbench::Place& place,
                                PointId a, PointId b);

  // What the capacitor of an element has, in farads, if it is whole.
  double farads(ElementId capacitor) const;

  const std::vector<Ailment>& ailments() const { return ailments_; }

 private:
  std::vector<double> values(const Circuit& circuit) const;
  Network solve(const std::vector<Ailment>& ailments, const Workbench::Place& place);

  Workbench& bench_;
  std::vector<Ailment> ailments_;
  std::vector<double> draws_;    // one an element, and one for a short
  std::vector<double> travels_;  // where each control's wiper stands between its limits
  double copper_ = 1;
  double module_ = 0;  // ohms from point to point of a module
  std::map<Workbench::Place, Network> solved_;
};

}  // namespace lugwise
