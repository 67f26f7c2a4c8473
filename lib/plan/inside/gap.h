// A circuit at its lowest with one element taken out: what do probes then read at least? Private to this room.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "expectation/corner.h"

namespace lugwise::plan::inside {

// An element with a way round it, taken out: the least each pair can read, by the places that the circuit then has at its
// lowest.
struct Gap {
  std::vector<std::uint32_t> place;  // of each probe
  std::size_t places = 0;
  std::vector<double> least;  // place by place; kOpen where there is no way
  Ohms round = 0;             // from end to end

  double without(std::size_t i, std::size_t j) const { return least[place[i] * places + place[j]]; }
};

// The gaps of one circuit, each found when it is asked for.
class Gaps {
 public:
  // `lowest` are the circuit's resistors at its lowest, branch by branch; `probes` its points within reach.
  Gaps(const Circuit& circuit, const std::vector<Resistor>& lowest, const std::vector<std::uint32_t>& probes)
      : circuit_(circuit), lowest_(lowest), probes_(probes) {}

  // By its number, for operator[]. None where the way round has no ohms: the gap then reads as a sound one may.
  std::optional<std::size_t> of(std::uint32_t branch);
  const Gap& operator[](std::size_t gap) const { return gaps_[gap]; }

  // By probe, whether it lies on the side of a cut where the branch's first point is.
  std::vector<char> sides_of_cut(std::uint32_t branch) const;

 private:
  // What keeps points together: anything that conducts, or only what has no ohms at its lowest.
  enum class By { Anything, NoOhms };

  std::vector<std::uint32_t> groups_without(std::uint32_t skip, By by) const;

  const Circuit& circuit_;
  const std::vector<Resistor>& lowest_;
  const std::vector<std::uint32_t>& probes_;
  std::map<std::uint32_t, std::optional<std::size_t>> numbers_;  // by branch
  std::vector<Gap> gaps_;
};

// Ohms of all pairs, row by row; kOpen where there is no way.
std::vector<double> all_pairs(const Network& network, const std::vector<std::uint32_t>& points);

}  // namespace lugwise::plan::inside
