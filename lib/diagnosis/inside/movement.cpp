#include <algorithm>
#include <cmath>

#include "diagnosis/inside/frame.h"
#include "diagnosis/inside/unsteadiness.h"
#include "expectation/corner.h"

namespace lugwise::diagnosis::inside {
namespace {

// A sweep that is this likely to jump and does not rules the fault out.
constexpr double kSurelyJumps = 0.99;

bool is_unsteady(const Observation& observation) {
  return observation.shows == Shows::Unstable || observation.shows == Shows::Jumps;
}

}  // namespace

// Of two faults the one that betrays itself more often counts.
double Judge::chance_of_motion(std::size_t i, const Explanation& explanation) const {
  const Frame::Row& row = frame_->rows[i];
  const Movement movement{row.action, row.step, &frame_->turned[i], &row.wiggled};
  double chance = chance_of_unsteady(harness_, movement, nullptr, 0, false);
  for (const Explanation& each : {explanation, model_.base()}) {
    if (!each.fault) continue;
    const bool touched = model_.touches(row.probe, *each.fault);
    chance = std::max(chance, chance_of_unsteady(harness_, movement, each.fault, each.size, touched));
  }
  return chance;
}

double Judge::evidence_of_motion(std::size_t i, const Explanation& explanation) const {
  const double chance = chance_of_motion(i, explanation);
  return std::log(is_unsteady((*observations_)[i]) ? chance : 1 - chance);
}

bool Judge::would_jump(std::size_t row, const Fault& fault) const {
  return frame_->rows[row].action == Action::Sweep && chance_of_motion(row, {&fault, 0}) > kSurelyJumps;
}

}  // namespace lugwise::diagnosis::inside
