// In what the controls lie, by what is there. Common practice, no source.
#pragma once

#include "harness/harness.h"
#include "harness/places.h"

namespace lugwise::drawing::inside {

// What is counted for it. A pot on another's shaft is none of its own.
struct Stock {
  std::size_t pickups = 0, pots = 0, volumes = 0, tones = 0, modules = 0;
};
Stock stock_of(const Harness& harness);

// As the netlist says, or as parts are called; else three pickups lie on a scratchplate, four pots or a volume for each
// pickup in a rear cavity, and what is less in one line on a control plate.
Cavity cavity_of(const Harness& harness, const Stock& stock, const Places& places);

}  // namespace lugwise::drawing::inside
