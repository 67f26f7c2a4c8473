#include "drawing/layout.h"

#include <fmt/format.h>

#include <memory>

#include "drawing/drawing.h"
#include "drawing/inside/geometry.h"
#include "drawing/inside/hookup.h"
#include "drawing/inside/shape.h"
#include "drawing/inside/trial.h"

namespace lugwise {

using namespace drawing::inside;

namespace {

constexpr std::size_t kMostParts = 100;
constexpr std::size_t kMostRuns = 300;
constexpr std::size_t kMostPoints = 1000;

// Cells between parts, at most: with more room all wires find a way.
constexpr int kMostRoom = 9;

// How often a wire may be pushed off its way. Where there may be more room, that is tried soon.
constexpr int kFewPushes = 12, kManyPushes = 60;

}  // namespace

std::string too_large_to_draw(const Harness& harness) {
  const auto over = [](std::size_t count, std::size_t most, const char* what) {
    return count > most ? fmt::format("it has {} {}; at most {} can be drawn", count, what, most)
                        : std::string();
  };
  std::size_t points = 0;
  for (const Part& part : harness.parts()) points += part.points.size();
  std::string why = over(harness.parts().size(), kMostParts, "parts");
  if (why.empty()) why = over(points, kMostPoints, "points on its parts");
  if (why.empty()) why = over(hook_up(harness).runs.size(), kMostRuns, "wires, leads and touches");
  return why;
}

Layout lay_out(const Harness& harness, const Places& places) {
  if (!too_large_to_draw(harness).empty()) return {};
  const Hookup hookup = hook_up(harness);
  Shapes shapes;
  for (std::uint32_t p = 0; p < harness.parts().size(); ++p)
    shapes.push_back(shapes_of(harness, hookup, PartId{p}));
  std::unique_ptr<Trial> best;
  for (int room = 0; room <= kMostRoom; room += 3) {
    auto trial = std::make_unique<Trial>(harness, hookup, shapes, places, room,
                                         room < kMostRoom ? kFewPushes : kManyPushes);
    if (!best || trial->unrouted() < best->unrouted()) best = std::move(trial);
    if (best->unrouted() == 0 || best->tired()) break;
  }
  best->polish();
  return best->layout();
}

std::optional<Spot> Layout::spot(const Harness& harness, PointId point) const {
  for (const PlacedPart& part : parts) {
    for (const Terminal& terminal : part.terminals) {
      if (terminal.point == point) return terminal.at;
    }
  }
  if (harness[point].role != PointRole::WireEnd) return std::nullopt;
  for (const Strand& strand : strands) {
    if (strand.kind != Strand::Kind::Leg) continue;
    for (bool start : {true, false}) {
      if ((start ? strand.from : strand.to) != point) continue;
      const Foot& site = start ? strand.start : strand.end;
      return outward(site, (start ? strand.free_start : strand.free_end) ? 1.6 : 0.9);
    }
  }
  return std::nullopt;
}

}  // namespace lugwise
