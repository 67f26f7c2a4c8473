// Star-mesh elimination of one block: the arithmetic under Network, private to this room.
//
// Eliminating a point k with conductances w to its neighbours replaces the star by a mesh of w_i w_j / sum(w). Only
// positive numbers are added, multiplied and divided, so every conductance keeps its relative accuracy.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "network/inside/arena.h"

namespace lugwise::network::inside {

using Seats = std::vector<std::pair<std::uint32_t, std::uint32_t>>;  // of each edge: two points of the block

// Point of the block, siemens.
using Neighbours =
    std::vector<std::pair<std::uint32_t, double>, ArenaAllocator<std::pair<std::uint32_t, double>>>;

// One eliminated point as it was at its turn: its neighbours then, by rising number, and their sum.
struct Star {
  std::uint32_t centre = 0;
  double total = 0;
  Neighbours arms;
};

class Elimination {
 public:
  // The edges of a connected block of so many points, each pair of points once, and what each conducts: one that conducts
  // nothing is left out. Points in `keep` stay. Throws NetworkTooDense.
  Elimination(std::size_t points, const Seats& edges, const std::vector<double>& siemens,
              const std::vector<std::uint32_t>& keep);
  Elimination(const Elimination&) = delete;
  Elimination& operator=(const Elimination&) = delete;

  const std::vector<Star>& stars() const { return stars_; }

  // Between two kept points when no others are kept.
  double conductance(std::uint32_t a, std::uint32_t b) const;

 private:
  // Additions to a row pile up behind its tidy part; tidying merges what is named twice and drops what is gone.
  struct Row {
    Neighbours arms;
    std::size_t tidy = 0;
  };

  void lay_out(const Seats& edges, const std::vector<double>& siemens);
  void eliminate(std::uint32_t centre);
  void tidy(std::uint32_t point);

  Arena memory_;

  std::vector<Row> rows_;
  std::vector<char> gone_;
  std::vector<Star> stars_;
  std::vector<std::int32_t> seat_;  // scratch: where a neighbour sits in the row at hand, or -1
  std::size_t entries_ = 0;         // in all rows
  std::size_t work_ = 0;            // mesh conductances made so far
};

}  // namespace lugwise::network::inside
