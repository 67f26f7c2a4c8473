// Which explanations stand against each other when a probe is chosen. Private to this room.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "diagnosis/diagnosis.h"

namespace lugwise::diagnosis::inside {

// An explanation still standing: sound where `suspect` is null. It points into the answer it was made from.
struct Standing {
  const Suspect* suspect = nullptr;
  std::size_t number = 0;  // of the suspect
  double size = 0;
  double probability = 0;
  std::uint32_t place = 0;  // open or high, a joint is one place; sound is place 0
  bool resting = false;     // a fault that comes and goes, and is gone while a plain reading is taken
};

enum class Among { All, FirstGroup };

// Their probabilities add up to 1. Of pairs those stand that bring in a fault not named yet. `comes_and_goes`: the player
// says so, and what may lose contact stands twice, as it is and resting.
std::vector<Standing> standing_of(const Diagnosis& answer, Among among, bool comes_and_goes = false);

// Whether so much lies in one place that no more probes are worth while.
bool sure_enough(const std::vector<Standing>& standing);

// The probability of each place.
std::vector<double> shares_of_places(const std::vector<Standing>& standing);

// Whether a suspect lies at a point, or at the part it belongs to.
bool lies_at(const Harness& harness, const std::vector<Standing>& standing, PointId point);

}  // namespace lugwise::diagnosis::inside
