// How much there may be to look through. A larger harness or a longer record is refused by name, before a search through it
// takes hours or all memory. All limits are here; docs/limits.md says what they come to.
#pragma once

#include <cstddef>
#include <string>

#include "harness/harness.h"

namespace lugwise {

// More combinations of the switches' places than this are not all tried: each switch then moves alone.
inline constexpr std::size_t kMostTogether = 64;

// What a search over all probes in all settings goes through.
struct Burden {
  std::size_t points = 0;    // that have a name, in reach or not
  std::size_t elements = 0;  // joints, wires, contacts, coils, ...
  std::size_t settings = 0;  // as many as settings_to_try() gives at most
};
Burden burden_of(const Harness& harness);

// Why a harness is too large for the search that a plan, a diagnosis, a study and a list of effects are made from, in words:
// "612 points; at most 500 can be looked through". Empty where it isn't. Those searches don't ask, their
// callers do. Itself quick for a harness of any size.
std::string too_large_to_search(const Harness& harness);

// Why so many readings can't be weighed together, in words; empty where they can.
std::string too_many_to_weigh(std::size_t readings);

}  // namespace lugwise
