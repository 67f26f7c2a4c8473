// What does a fault do to a circuit's resistors? Private to this room.
#pragma once

#include <cstdint>
#include <vector>

#include "circuit/circuit.h"
#include "dictionary/inside/region.h"
#include "expectation/corner.h"
#include "fault/fault.h"

namespace lugwise::dictionary::inside {

// Some are gone or worth something else, some are new.
struct Replaced {
  std::uint32_t resistor = 0;
  Corners ohms{};  // kOpen: gone
};
struct Added {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  Corners ohms{};
};
struct Delta {
  std::vector<Replaced> replaced;
  std::vector<Added> added;
  bool empty() const { return replaced.empty() && added.empty(); }
};

// A circuit as resistors: its branches, then what modules join.
struct Branches {
  std::vector<Corners> ohms;                     // of each resistor
  std::vector<std::vector<std::uint32_t>> with;  // of each element

  const std::vector<std::uint32_t>& of(ElementId element) const;
};

// What a fault of a size, as with_fault takes it, does to them; nothing where it doesn't act in this circuit.
Delta delta_of(const Circuit& circuit, const Branches& branches, const Fault& fault, double size);

// By the places of Corners.
inline constexpr Corner kCorners[] = {Corner::Low, Corner::Nominal, Corner::High};

// No sound joint is less here, so that no two points are ever one.
double at_least(double ohms);

}  // namespace lugwise::dictionary::inside
