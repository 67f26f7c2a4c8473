#include "dictionary/inside/delta.h"

#include <algorithm>

#include "dictionary/dictionary.h"

namespace lugwise::dictionary::inside {

const std::vector<std::uint32_t>& Branches::of(ElementId element) const {
  static const std::vector<std::uint32_t> kNothing;
  return element.index < with.size() ? with[element.index] : kNothing;
}

double at_least(double ohms) { return std::max(ohms, kLeastOhms); }

Delta delta_of(const Circuit& circuit, const Branches& branches, const Fault& fault, double size) {
  Delta delta;
  if (!acts_in(fault, circuit)) return delta;
  switch (fault.mode) {
    case Mode::Open:
      for (std::uint32_t b : branches.of(*fault.element))
        delta.replaced.push_back({b, {kOpen, kOpen, kOpen}});
      break;
    case Mode::High:
      if (is_worn_track(fault)) break;
      for (std::uint32_t b : branches.of(*fault.element)) {
        // Half a track of a share of nothing has nothing added to it either.
        Corners raised{};
        Branch branch = circuit.branches[b];
        branch.ohms = {branch.ohms.low + size, branch.ohms.nominal + size, branch.ohms.high + size};
        const Circuit one{0, {branch}, {}, {}, {}, {}, {}};
        for (std::size_t c = 0; c < 3; ++c)
          raised[c] = at_least(loose_resistors_at(one, kCorners[c])[0].ohms);
        delta.replaced.push_back({b, raised});
      }
      break;
    case Mode::Value:
      for (std::uint32_t b : branches.of(*fault.element)) {
        Corners scaled = branches.ohms[b];
        for (double& each : scaled) each = at_least(each * size);
        delta.replaced.push_back({b, scaled});
      }
      break;
    case Mode::Short: {
      if (fault.a == fault.b || !circuit.has(fault.a) || !circuit.has(fault.b)) break;
      if (fault.element && fault.site == Site::Contact && !branches.of(*fault.element).empty()) break;
      delta.added.push_back(
          {fault.a.index, fault.b.index, {at_least(kShort.low), kShort.nominal, kShort.high}});
      break;
    }
    case Mode::Misplaced:
      for (const Moved& moved : fault.moved) {
        for (std::uint32_t b : branches.of(moved.element)) {
          // A lead that is bent from one lug to the other is moved at both its ends.
          std::size_t at = 0;
          while (at < delta.replaced.size() && delta.replaced[at].resistor != b) ++at;
          if (at == delta.replaced.size()) {
            delta.replaced.push_back({b, {kOpen, kOpen, kOpen}});
            delta.added.push_back(
                {circuit.branches[b].a.index, circuit.branches[b].b.index, branches.ohms[b]});
          }
          Added& added = delta.added[at];
          (added.a == moved.from.index ? added.a : added.b) = moved.to.index;
        }
      }
      break;
  }
  return delta;
}

}  // namespace lugwise::dictionary::inside
