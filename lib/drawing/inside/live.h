// In a setting, what hangs on the plug's tip and what on its sleeve?
#pragma once

#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "harness/harness.h"

namespace lugwise::drawing::inside {

enum class Live {
  Hot,      // on the tip by metal alone
  Ground,   // on the sleeve by metal alone
  Both,     // tip and sleeve are joined by metal, and this with them
  Through,  // between the two, or on a way back to one, through a coil, a track, a resistor or a capacitor
  Dead,     // on neither, or it leads nowhere from there
};

// By point. Empty where there is no jack at this stage.
std::vector<Live> live_points(const Harness& harness, const Circuit& circuit,
                              std::optional<std::size_t> stage);

// The elements that carry at least a tenth of the current between two points, and the points they lie between.
struct Path {
  bool open = true;
  std::vector<char> elements, points;
};
Path path_between(const Harness& harness, const Circuit& circuit, PointId a, PointId b);

}  // namespace lugwise::drawing::inside
