#include "plan/inside/disturbed.h"

#include <algorithm>

namespace lugwise::plan::inside {

std::vector<char> disturbed(const Harness& harness, const std::vector<Fault>& faults,
                            const std::vector<PointId>& repaired) {
  std::vector<char> hot(harness.points().size(), 0);      // the iron was there
  std::vector<char> moved(harness.elements().size(), 0);  // an element that was heated or moved
  std::vector<char> jogged(harness.points().size(), 0);   // what lies beside it may touch it now
  for (PointId point : repaired) {
    hot[point.index] = 1;
    // A wire's end is soldered to something.
    if (harness[point].on) hot[harness[point].on->index] = 1;
  }
  // A lead goes with the surface it is soldered to, and that with all blobs on it.
  for (const Blob& blob : harness.blobs()) {
    for (PointId lead : blob.leads) {
      if (hot[lead.index]) hot[blob.surface.index] = 1;
    }
  }
  const auto at_hot = [&](const Element& element) {
    return hot[element.a.index] != 0 || hot[element.b.index] != 0 ||
           std::any_of(element.points.begin(), element.points.end(),
                       [&](PointId point) { return hot[point.index] != 0; });
  };
  std::vector<char> loose(harness.points().size(), 0);  // leads that were held or bent
  for (const Blob& blob : harness.blobs()) {
    if (!hot[blob.surface.index]) continue;
    for (ElementId joint : blob.joints) moved[joint.index] = 1;
    if (blob.grip) moved[blob.grip->index] = 1;
    for (PointId lead : blob.leads) loose[lead.index] = 1;
  }
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    if (at_hot(element)) moved[i] = 1;
    // A pot is heated as a whole.
    const bool of_pot = element.kind == ElementKind::Track || element.kind == ElementKind::Wiper;
    if (of_pot && std::any_of(repaired.begin(), repaired.end(),
                              [&](PointId point) { return harness[point].part == element.part; }))
      moved[i] = 1;
    // A wire or a part that hangs on a bent lead.
    if (loose[element.a.index] || loose[element.b.index]) moved[i] = 1;
  }
  // The far end of each wire that was moved is pulled at.
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& wire = harness.elements()[i];
    if (wire.kind != ElementKind::Wire || !moved[i]) continue;
    for (std::uint32_t j = 0; j < harness.elements().size(); ++j) {
      const Element& end = harness.elements()[j];
      if (end.kind != ElementKind::Joint && end.kind != ElementKind::Contact) continue;
      if (end.a == wire.a || end.b == wire.a || end.a == wire.b || end.b == wire.b) moved[j] = 1;
    }
  }
  for (std::uint32_t p = 0; p < harness.points().size(); ++p) {
    if (hot[p] || loose[p]) jogged[p] = 1;
  }
  std::vector<char> may(faults.size(), 0);
  for (std::size_t f = 0; f < faults.size(); ++f) {
    const Fault& fault = faults[f];
    if (fault.mode == Mode::Short || fault.mode == Mode::Misplaced) {
      may[f] = std::any_of(fault.points.begin(), fault.points.end(),
                           [&](PointId point) { return jogged[point.index] != 0; })
                   ? 1
                   : 0;
    } else {
      may[f] = fault.element && moved[fault.element->index] ? 1 : 0;
    }
  }
  return may;
}

}  // namespace lugwise::plan::inside
