// One block reduced to two of its places, and the volts across its edges for one ampere between them. Private to this room.
//
// Points come back one by one, the last eliminated first: a point's potential is the mean of its neighbours' by
// conductance, so its drop to neighbour i is the mean of the drops from the neighbours to i. Carrying drops, not
// potentials, keeps the digits of a milliohm joint beside a megohm track.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "network/inside/elimination.h"

namespace lugwise::network::inside {

class Reduction {
 public:
  // As Elimination has it; the two places stay.
  Reduction(std::size_t points, const Seats& edges, const std::vector<double>& siemens, std::uint32_t from,
            std::uint32_t to);

  // The same places eliminated in the same order with other conductances, one for each of the edges given: those that
  // conducted, as they were given. What comes out is, to the last bit, what a new reduction would give.
  void reweigh(const Seats& edges, const double* siemens);

  double ohms() const { return 1 / siemens_.back(); }

  // Finds all drops, for drop(), which is of two places with an edge between them.
  void carry();
  double drop(std::uint32_t from, std::uint32_t to) const;

 private:
  // Stars as they were eliminated, and last of all the two places that stay: one star with one arm.
  struct Star {
    std::uint32_t first = 0;  // of arms_, siemens_ and drops_
    std::uint32_t count = 0;
    double total = 0;
  };

  std::uint32_t arm_between(std::uint32_t x, std::uint32_t y) const;
  void find_mesh();

  std::vector<std::uint32_t> turn_;  // of each place: which star is its own
  std::vector<Star> stars_;
  std::vector<std::uint32_t> arms_;  // by star, rising
  std::vector<double> siemens_;
  std::vector<double> drops_;  // from the star's centre to the arm
  std::vector<std::uint32_t>
      mesh_;  // of each two arms of each star: the arm between them; empty while not kept
};

}  // namespace lugwise::network::inside
