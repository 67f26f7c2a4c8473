// Networks to measure: the named shapes that the literature has answers for, and random ones.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "network/network.h"
#include "support/slow_build.h"

namespace lugwise {

struct Shape {
  std::uint32_t points = 0;
  std::vector<Resistor> resistors;

  Network network() const { return Network(points, resistors); }
  void add(std::uint32_t a, std::uint32_t b, double ohms = 1) { resistors.push_back({a, b, ohms}); }
};

Shape path(std::uint32_t n);
Shape cycle(std::uint32_t n);
Shape complete(std::uint32_t n);
Shape complete_bipartite(std::uint32_t m, std::uint32_t n);         // the first m points, then the n others
Shape complete_multipartite(std::uint32_t sides, std::uint32_t n);  // `sides` groups of n points
Shape wheel(std::uint32_t n);                                       // rim 0 .. n-1, hub n
Shape fan(std::uint32_t n);                                         // path 0 .. n-1, hub n
Shape gear(std::uint32_t n);                            // a wheel with a further point in each rim resistor
Shape antiprism(std::uint32_t n);                       // rings 0 .. n-1 and n .. 2n-1
Shape crown(std::uint32_t n);                           // K_{n,n} without a perfect matching
Shape grid(std::uint32_t rows, std::uint32_t columns);  // point row * columns + column
Shape generalized_petersen(std::uint32_t n, std::uint32_t k);  // outer ring 0 .. n-1, inner n .. 2n-1
Shape icosahedron();
Shape heawood();

// Fewest resistors between `from` and every point.
std::vector<std::uint32_t> steps_from(const Shape& shape, std::uint32_t from);

// Whole numbers by our own rule, so that a seed means the same networks with every standard library.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  std::uint32_t below(std::uint32_t n) { return static_cast<std::uint32_t>(engine_() % n); }
  double share() { return static_cast<double>(engine_() >> 11) * 0x1p-53; }  // 0 <= share < 1
  double ohms();                                                             // 0.1 to 1000, even by logarithm

 private:
  std::mt19937_64 engine_;
};

// A random tree with `loops` more resistors anywhere; each of ohms().
Shape random_connected(Dice& dice, std::uint32_t points, std::uint32_t loops);

// Anything: several components, self-loops, parallels and zero ohms included.
Shape random_any(Dice& dice, std::uint32_t points, std::uint32_t resistors);

}  // namespace lugwise
