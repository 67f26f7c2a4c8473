// The `joints` and `touches` of a netlist: what is soldered, and what is clamped or screwed together without solder.
#pragma once

#include <map>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "harness/builder.h"
#include "intake/inside/given_once.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"
#include "intake/inside/wire_reader.h"

namespace lugwise::intake::inside {

class JointReader {
 public:
  // `wires` have been read: their ends are in joints.
  JointReader(HarnessBuilder& builder, PointReader& points, const WireReader& wires, Diagnostics& diagnostics)
      : builder_(builder), points_(points), wires_(wires), diagnostics_(diagnostics) {}

  void read_joints(const Node* node);
  void read_touches(const Node* node);

 private:
  using Pairs = GivenOnce<std::pair<PointId, PointId>>;

  std::optional<std::vector<PointId>> entry_points(const Node& node, std::string_view what);
  bool pairs_are_new(const std::vector<PointId>& points, const Node& node, std::string_view how,
                     Pairs& pairs);
  bool ends_are_here(const std::vector<PointId>& points, const Node& entry);

  HarnessBuilder& builder_;
  PointReader& points_;
  const WireReader& wires_;
  Diagnostics& diagnostics_;
};

}  // namespace lugwise::intake::inside
