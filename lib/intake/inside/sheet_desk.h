// What all readers of a readings file share: the harness it is of, the meter as far as it is known, what was said so far.
#pragma once

#include <optional>
#include <string_view>
#include <unordered_set>
#include <vector>

#include "circuit/setting.h"
#include "harness/harness.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/suggestion.h"
#include "intake/inside/tree.h"
#include "intake/netlist.h"
#include "meter/meter.h"
#include "source/diagnostic.h"

namespace lugwise::intake::inside {

struct SheetDesk {
  // `named` is the meter somebody named, or null.
  SheetDesk(const Netlist& netlist, Diagnostics& diagnostics, const Meter* named);

  // Puts the controls of a `set` where it says; null changes nothing.
  void read_set(const Node* node, Setting& setting);

  // The points of a list, none twice.
  std::vector<PointId> read_points(const Node* node, std::string_view what);

  // Whether a probe can stand there in this setting; reports why not.
  bool can_be_probed(PointId id, const Node& node, const Setting& setting);

  const Harness& harness;
  Diagnostics& diagnostics;
  PointReader points;
  Suggestions suggestions;
  Meter meter;
  bool meter_named;
  bool meter_known = true;  // off: the file's own could not be read
  bool plan_given = false;
  std::optional<std::size_t> stage = {};  // index into Harness::stages()
  std::unordered_set<PointId> leads;      // what can be lifted
};

}  // namespace lugwise::intake::inside
