// SLOW ON PURPOSE, TESTS ONLY: what the network solver must agree with.
//
// Two references that share nothing with lib/network nor with each other:
//   ExactNetwork    the plain textbook way: write down Kirchhoff's equations for the whole network and solve
//   them by
//                   Gaussian elimination in fractions of unlimited size. No rounding, no blocks, no
//                   star-mesh.
//   ForestNetwork   for a handful of points: Kirchhoff's 1847 counting rule, whole numbers only and no
//   equations at all.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "network/network.h"

namespace lugwise {

// A double counts as the fraction it is: 0.005 is 5764607523034235 / 2^60.
class ExactNetwork {
 public:
  ExactNetwork(std::size_t points, const std::vector<Resistor>& resistors);
  ~ExactNetwork();

  // Ohms between two points, rounded once at the end; none where open.
  std::optional<double> resistance(std::uint32_t a, std::uint32_t b) const;

  // The same unrounded, in lowest terms: "102/7", "3", or "open".
  std::string fraction(std::uint32_t a, std::uint32_t b) const;

  // Amperes from a resistor's `a` to its `b` when one ampere goes in at `from` and out at `to`, rounded once.
  // Zero if its ends are one point, or if `from` and `to` aren't connected.
  double current(std::uint32_t resistor, std::uint32_t from, std::uint32_t to) const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

// The same network without one resistor.
std::vector<Resistor> without(std::vector<Resistor> resistors, std::uint32_t resistor);

// Resistances between two points a, b are S/T, where T sums, over all spanning forests with the fewest trees,
// the product of the forest's conductances, and S does so over those forests with one tree more that part a
// from b (G. Kirchhoff, Ann. Phys. 148 (1847) 497-508; from memory). Ohms must divide `scale`; at most 8
// points.
class ForestNetwork {
 public:
  ForestNetwork(std::size_t points, const std::vector<Resistor>& resistors, std::int64_t scale);

  std::optional<double> resistance(std::uint32_t a, std::uint32_t b) const;
  double current(std::uint32_t resistor, std::uint32_t from, std::uint32_t to) const;
  std::optional<double> detour(std::uint32_t resistor) const;
  bool cut(std::uint32_t resistor) const { return !detour(resistor); }

 private:
  struct Edge {
    std::uint32_t a, b;
    std::int64_t conductance;  // in units of 1/scale
    std::int64_t trees;        // sum over the spanning forests that hold it, its own conductance left out
  };

  std::int64_t parted(std::uint32_t a, std::uint32_t b) const { return parted_[a * points_ + b]; }
  using Trees = std::array<std::uint8_t, 8>;  // which tree each point is in
  void grow(std::size_t edge, Trees trees, std::uint32_t chosen, std::int64_t product);
  double ohms(std::int64_t numerator, std::int64_t denominator) const;

  std::size_t points_;
  std::int64_t scale_;
  std::vector<Resistor> resistors_;
  std::vector<std::uint32_t> joined_;     // of each point: the first point that zero ohms make one with it
  std::vector<std::uint32_t> component_;  // of each point
  std::vector<Edge> edges_;
  int full_ = 0;                      // resistors of a spanning forest with the fewest trees
  std::int64_t trees_ = 0;            // T
  std::vector<std::int64_t> parted_;  // S of each pair
};

}  // namespace lugwise
