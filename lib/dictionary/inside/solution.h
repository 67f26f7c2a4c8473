// A chapter's circuit, solved as far as its entries need. Private to this room.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "dictionary/dictionary.h"
#include "dictionary/inside/delta.h"
#include "network/network.h"

namespace lugwise::dictionary::inside {

struct Solution {
  Solution(const Circuit& of, std::vector<PointId> at);

  Circuit circuit;
  std::vector<PointId> probes;
  Branches branches;
  std::unique_ptr<const Network> corner[3];  // the first has the modules joined, and all connections
  struct Block {
    std::vector<std::uint32_t> places, resistors;
  };
  std::vector<Block> blocks;
  std::vector<std::uint32_t> up;     // of each point: the one through which the tree reaches it, or kNobody
  std::vector<std::uint32_t> order;  // points, each after the one above it

  static constexpr std::uint32_t kNobody = 0xffffffff;

  // Only for pages, made by the first: the sound ohms from each probe to all points.
  mutable std::vector<Corners> rows;
  void tabulate() const;

  const Network& shape() const { return *corner[0]; }
  std::size_t points() const { return circuit.points; }

  Delta delta(const Fault& fault, double size) const { return delta_of(circuit, branches, fault, size); }

  // What a fault touches: places and blocks, one connected part of each component that it touches.
  struct Region {
    std::vector<std::uint32_t> places;
    std::vector<std::uint32_t> blocks;
    std::vector<std::uint32_t> roots;  // one place of each component touched
  };
  Region region(const Delta& delta) const;

  // Ohms between the wanted places, row by row, with the fault in its region and nothing else of the circuit.
  std::vector<Corners> solve(const Region& region, const Delta& delta,
                             const std::vector<std::uint32_t>& wanted) const;

 private:
  void add_corners();
  void plant();
};

}  // namespace lugwise::dictionary::inside
