#include "fault/fault.h"

#include <algorithm>
#include <utility>

namespace lugwise {

std::string_view mode_name(Mode mode) {
  static constexpr std::string_view kNames[] = {"open", "high", "short", "value", "misplaced"};
  return kNames[static_cast<int>(mode)];
}

std::string_view site_name(Site site) {
  static constexpr std::string_view kNames[] = {"joint",     "blob",  "wire",  "contact",
                                                "coil",      "track", "wiper", "resistor",
                                                "capacitor", "lugs",  "braid", "nearby"};
  return kNames[static_cast<int>(site)];
}

bool same_place(const Fault& x, const Fault& y) {
  if (x.mode == Mode::Misplaced || y.mode == Mode::Misplaced) return x == y;
  return (x.element && x.element == y.element) || x.points == y.points;
}

bool is_worn_track(const Fault& fault) { return fault.mode == Mode::High && fault.site == Site::Track; }

std::optional<Fault> partner(const Fault& fault) {
  if (fault.also.empty()) return std::nullopt;
  Fault other = fault;
  std::swap(other.points, other.also);
  other.a = other.points[1];
  other.b = other.points[2];
  return other;
}

Circuit with_fault(const Circuit& circuit, const Fault& fault, double size) {
  Circuit faulty = circuit;
  if (!acts_in(fault, circuit)) return faulty;
  std::vector<Branch>& branches = faulty.branches;
  switch (fault.mode) {
    case Mode::Open:
      std::erase_if(branches, [&](const Branch& branch) { return branch.element == fault.element; });
      break;
    case Mode::High:
      if (is_worn_track(fault)) break;
      for (Branch& branch : branches) {
        if (branch.element != fault.element) continue;
        branch.ohms = {branch.ohms.low + size, branch.ohms.nominal + size, branch.ohms.high + size};
      }
      break;
    case Mode::Value:
      for (Branch& branch : branches) {
        if (branch.element != fault.element) continue;
        branch.ohms = {branch.ohms.low * size, branch.ohms.nominal * size, branch.ohms.high * size};
      }
      break;
    case Mode::Short: {
      if (!circuit.has(fault.a) || !circuit.has(fault.b)) break;
      const bool closed = fault.element && fault.site == Site::Contact &&
                          std::any_of(branches.begin(), branches.end(),
                                      [&](const Branch& branch) { return branch.element == fault.element; });
      // A contact that is closed anyway changes nothing by staying so.
      if (!closed)
        branches.push_back({ElementId{kNoElement}, fault.a, fault.b, false, kShort, std::nullopt, 1, 1, 1});
      break;
    }
    case Mode::Misplaced:
      for (Branch& branch : branches) {
        for (const Moved& moved : fault.moved) {
          if (branch.element != moved.element) continue;
          (branch.a == moved.from ? branch.a : branch.b) = moved.to;
        }
      }
      break;
  }
  return faulty;
}

}  // namespace lugwise
