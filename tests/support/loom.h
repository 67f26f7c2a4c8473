// A loom far larger than any instrument, for measuring how the work grows with the wires.
#pragma once

#include <string>

namespace lugwise::test {

// A netlist of that many wires (at least 100), each of one leg. Stations of 50 wires follow one another: a pot and a
// pickup; a ground chain from case to case over tags, with doubled grounds and a loop; a hot chain over spliced
// resistors and wipers, so that each pot and pickup ties hot and ground together. The first station has the jack and a
// selector, and the hot chain comes back to it. One knob in ten is in mid-travel. Points to ask for: `jack.plug-tip`, `jack.plug-sleeve`,
// `pot-0.case`, ... and `farthest(wires)`.
std::string loom(int wires);

// A tag at the other end from the jack.
std::string farthest(int wires);

}  // namespace lugwise::test
