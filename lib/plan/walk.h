// With one probe parked on ground, in which order do the ground points go, and where to look when one is wrong?
#pragma once

#include <optional>
#include <vector>

#include "expectation/expectation.h"
#include "handling/handling.h"
#include "harness/harness.h"
#include "meter/meter.h"

namespace lugwise {

// One reading of the walk, to the end of a stretch: all of it from where it leaves what was read before.
struct WalkStep {
  PointId to;
  PointId from;  // the last point that a right reading before has proved: the anchor, or on its way
  std::vector<PointId> stretch;     // what a probe reaches from there on, in order; the last is `to`
  std::vector<std::size_t> bounds;  // by point of the stretch: how many of `proves` lie before it
  std::vector<ElementId> proves;  // in order: each alone carries the reading; a wrong one means one of these
  std::size_t first_half = 0;     // where in the stretch to look first, if the reading is wrong
  int most = 0;                   // and how many readings then find the place at most
  Expected expected;
  Range range;
  Window shows;
};

struct Walk {
  PointId anchor;
  Access access;
  Setting setting;
  std::vector<WalkStep> steps;
  std::vector<PointId> points;  // all ground points within reach, the anchor first
  std::vector<ElementId>
      in_loops;  // ground that a second path doubles: no reading from the anchor shows it open
};

// The metal that is joined to the plug's sleeve, or else to the jack's, the bridge or the first case, by nothing but joints,
// wires and closed contacts. None where nothing hangs together so. Throws NetworkTooDense.
std::optional<Walk> walk_ground(const Harness& harness, std::optional<std::size_t> stage, const Meter& meter,
                                const Temperature& temperature);

// Of the points of a stretch from `low` up to but not `high`, the one that halves what could be wrong between `low`'s last
// good point and `high`. `bounds` as in WalkStep; `below` is how many elements lie before `low`, `above` before `high`.
std::size_t half_of(const std::vector<std::size_t>& bounds, std::size_t low, std::size_t high,
                    std::size_t below, std::size_t above);

}  // namespace lugwise
