// TESTS ONLY: resistances by loop currents, sharing nothing with lib/network.
//
// A tree of the least resistances spans the network; every resistor left over closes one loop with it. One ampere along
// the tree from probe to probe, plus whatever the loops carry, must lose the least power (Thomson's principle), which is
// one small system of equations in the loops. Where lib/network adds conductances point by point, this adds resistances
// loop by loop, and zero ohms need no care.
//
// It keeps its digits because the tree is a least one: every resistor that bridges the gap left by a tree resistor r is
// at least r, so with n points and m resistors the reading is at least r / m, the way along the tree at most n r, and
// no more than a factor m n is lost where the loops' part is taken away.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "network/network.h"

namespace lugwise::test {

class LoopNetwork {
 public:
  LoopNetwork(std::size_t points, const std::vector<Resistor>& resistors);

  // Ohms between two points; none where nothing connects them.
  std::optional<double> resistance(std::uint32_t a, std::uint32_t b) const;

 private:
  // Up the tree from a point, or down to it.
  struct Edge {
    std::uint32_t below;  // the point at its lower end
    double sign;
  };
  std::vector<Edge> way(std::uint32_t a, std::uint32_t b) const;

  std::vector<std::uint32_t> root_, above_, depth_;  // by point
  std::vector<double> ohms_;                         // by point: of the tree's resistor above it
  std::vector<std::vector<Edge>> loops_;
  std::vector<double> factor_;  // Cholesky's, of the loops' resistances; by rows
};

}  // namespace lugwise::test
