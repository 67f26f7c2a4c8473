// What sits on another part.
#pragma once

#include <cstddef>
#include <optional>

#include "harness/harness.h"

namespace lugwise::drawing::inside {

// By a pot's case stands what ends there, and a ganged pot; below its lugs lies what joins two of them; above it is the switch
// that its shaft works.
struct Seat {
  enum class Place { Left, Right, Below, Above };
  std::size_t on = 0;
  Place place = Place::Left;
  bool turned = false;  // its second end is the upper one, or the left one where it lies
};

// Of a capacitor or resistor: the part that one end is soldered to by itself, the first pot, switch or jack that a joint joins
// it to. None where it stands for itself.
std::optional<Seat> seat_of(const Harness& harness, PartId part);

}  // namespace lugwise::drawing::inside
