// Chance that can be repeated: the same seed and number throw the same, on every machine.
//
// The standard library's distributions differ from one compiler's library to another's for the same generator, so numbers
// are brought to their ranges here. tests/simulation pins what is thrown.
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace lugwise {

// A counter through a mixing function (splitmix64: common practice, no source).
class Dice {
 public:
  Dice(std::uint64_t seed, std::uint64_t number) : state_(mix(seed) ^ mix(number + 0x51ed27)) {}

  double even() { return static_cast<double>(next() >> 11) * 0x1p-53; }  // from 0 up to 1
  // In two steps, so that no compiler makes one rounding of them.
  double between(double low, double high) {
    const double part = (high - low) * even();
    return low + part;
  }
  // Evenly by decades.
  double by_decades(double low, double high) { return low * std::pow(high / low, even()); }
  bool chance(double probability) { return even() < probability; }
  std::size_t below(std::size_t count) {
    return static_cast<std::size_t>(even() * static_cast<double>(count));
  }

 private:
  static std::uint64_t mix(std::uint64_t x) {
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31);
  }
  std::uint64_t next() { return mix(state_ += 0x9e3779b97f4a7c15ULL); }

  std::uint64_t state_;
};

}  // namespace lugwise
