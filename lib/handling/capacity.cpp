#include "handling/capacity.h"

#include <fmt/format.h>

#include <algorithm>

#include "fault/fault.h"

namespace lugwise {
namespace {

// Nothing in an instrument comes near these: the largest harness we ship has 60 points, 74 elements, 50 settings and 12
// million faulty readings, and one of three pickups of two coils, four knobs, a selector of four poles and three push-pulls
// 163, 182, 280 and 2100 million.
constexpr std::size_t kMostPoints = 500;
constexpr std::size_t kMostElements = 2000;
constexpr std::size_t kMostSettings = 2000;
constexpr double kMostFaultyReadings = 3e9;

// Each is weighed with all others.
constexpr std::size_t kMostReadings = 500;

bool has_name(const Point& point) {
  return point.role != PointRole::Solder && point.role != PointRole::WiperPlace;
}

std::string over(std::size_t count, std::size_t most, const char* what) {
  return count > most ? fmt::format("{} {}; at most {} can be looked through", count, what, most)
                      : std::string();
}

}  // namespace

Burden burden_of(const Harness& harness) {
  Burden burden;
  burden.points =
      static_cast<std::size_t>(std::count_if(harness.points().begin(), harness.points().end(), has_name));
  burden.elements = harness.elements().size();
  std::size_t pots = 0, at_ten = 0, at_nought = 0, jacks = 0;  // pots, and those that rest at a stop
  std::size_t together = 1, alone = 1;
  for (const PartId control : harness.controls()) {
    const Part& part = harness[control];
    if (part.pot) {
      ++pots;
      if (part.pot->normal == 10) ++at_ten;
      if (part.pot->normal == 0) ++at_nought;
    }
    if (part.kind == PartKind::Jack) ++jacks;
    if (part.kind != PartKind::Switch) continue;
    together = std::min(kMostTogether + 1, together * part.positions.size());
    alone += part.positions.size() - 1;
  }
  // Each pot alone at a stop where it does not rest, and all of them together.
  std::size_t stops = 2 * pots - at_ten - at_nought;
  if (pots > 1) stops += at_ten == pots || at_nought == pots ? 1 : 2;
  burden.settings = (together > kMostTogether ? alone : together) * (1 + stops + jacks);
  return burden;
}

std::string too_large_to_search(const Harness& harness) {
  const Burden burden = burden_of(harness);
  std::string why = over(burden.points, kMostPoints, "points");
  if (why.empty()) why = over(burden.elements, kMostElements, "joints, wires, contacts and parts");
  if (why.empty()) why = over(burden.settings, kMostSettings, "settings of its controls");
  if (!why.empty()) return why;
  const std::size_t faults = faults_of(harness).size();
  const double pairs = static_cast<double>(burden.points) * static_cast<double>(burden.points - 1) / 2;
  const double readings = pairs * static_cast<double>(burden.settings) * static_cast<double>(faults);
  if (readings <= kMostFaultyReadings) return {};
  return fmt::format(
      "{} faults in {} settings between {} points make {:.0f} million readings; at most {:.0f} million can "
      "be "
      "looked through",
      faults, burden.settings, burden.points, readings / 1e6, kMostFaultyReadings / 1e6);
}

std::string too_many_to_weigh(std::size_t readings) {
  if (readings <= kMostReadings) return {};
  return fmt::format("{} readings; at most {} can be weighed together", readings, kMostReadings);
}

}  // namespace lugwise
