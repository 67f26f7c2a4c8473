// Names of points as they are used in a file: found, or reported once with the nearest name. What only fails because
// its part or wire could not be read is passed over in silence.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_set>

#include "harness/harness.h"
#include "intake/inside/part_reader.h"
#include "intake/inside/suggestion.h"
#include "intake/inside/tree.h"
#include "intake/place.h"

namespace lugwise::intake::inside {

class PointReader {
 public:
  // `parts` may be null where the harness is whole: in a readings file.
  PointReader(const Harness& harness, PartReader* parts, Diagnostics& diagnostics)
      : harness_(harness), parts_(parts), diagnostics_(diagnostics) {}

  std::optional<PointId> point(const Node& node);
  // One that something can be soldered to or clamped against: not the far end of the test cable, and not a coil's end
  // inside its pickup.
  std::optional<PointId> for_joint(const Node& node);
  // The same, and no wire's end: what a wire runs to.
  std::optional<PointId> for_wire(const Node& node);
  std::optional<PartId> part(const Node& node, std::string_view what);

  // A wire that could not be read would have joined these.
  void lost_leg(const std::string& a, const std::string& b);
  // No wire could be read.
  void lose_all_legs() { all_legs_lost_ = true; }

 private:
  bool lost(std::string_view name);
  bool lost_part(std::string_view name);
  bool afford();
  void refuse(std::string code, const Node& node, const Refusal& refusal);

  const Harness& harness_;
  PartReader* parts_;
  Diagnostics& diagnostics_;
  std::unordered_set<std::string> lost_legs_;
  bool all_legs_lost_ = false;
  Suggestions suggestions_;
};

}  // namespace lugwise::intake::inside
