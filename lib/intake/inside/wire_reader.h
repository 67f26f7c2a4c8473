// The `wires` of a netlist, read in the order of the file and handed to the builder all at once.
#pragma once

#include <cstddef>
#include <string>
#include <unordered_set>
#include <vector>

#include "harness/builder.h"
#include "intake/inside/given_once.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"

namespace lugwise::intake::inside {

class WireReader {
 public:
  WireReader(HarnessBuilder& builder, PointReader& points, Diagnostics& diagnostics)
      : builder_(builder), points_(points), diagnostics_(diagnostics), names_(diagnostics) {}

  void read(const Node* node);

  // Whether a wire's end is trapped or screwed there, not soldered.
  bool pressed(PointId end) const { return pressed_.count(end) > 0; }

 private:
  bool read_long_wire(const Node& entry, WireSpec& spec);
  void read_name(const Node& node, WireSpec& spec);
  bool read_run(const Node& node, WireSpec& spec);
  bool read_braid(const Node& node, std::size_t run_points, bool run_fine, WireSpec& spec);
  bool read_pressed(const Node& node, const Node& run, bool fine, WireSpec& spec);
  void lose(const Node& entry);
  void warn_of_doubles(const std::vector<WireSpec>& specs);
  void keep_places_free(const Node& wires);

  HarnessBuilder& builder_;
  PointReader& points_;
  Diagnostics& diagnostics_;
  GivenOnce<std::string> names_;
  std::unordered_set<PointId> pressed_;
};

}  // namespace lugwise::intake::inside
