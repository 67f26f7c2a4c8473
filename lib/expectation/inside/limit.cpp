#include "expectation/inside/limit.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"

namespace lugwise::expectation::inside {
namespace {

// Beyond this many shafts in mid-travel on the way the corners are too many, and each half of a track is taken at its own
// least: still sound, no longer attained. The same where the corners of a large loom would take seconds.
constexpr std::size_t kMostTravels = 12;
constexpr std::size_t kMostCornerBranches = 1'000'000;

// The search for the most ends after so many branches have been solved: what it has by then is a sound limit too.
constexpr std::size_t kMostClimbedBranches = 200'000;

// The wiper's place is searched a hair inside its limits, where a half of the track never vanishes.
constexpr double kInside = 1e-9;

// A concave maximum: each shaft in turn to where the slope changes sign, until the tangent's ceiling is reached.
class Climb {
 public:
  explicit Climb(const Way& way)
      : way_(way),
        travel_(way.circuit.travels.size(), 0.5),
        course_(network_at(way.circuit, resistors_at(way.circuit, Corner::High, &travel_)), way.a, way.b) {
    ohms_of_.reserve(way.circuit.branches.size());
    for (const Branch& branch : way.circuit.branches)
      ohms_of_.push_back(ohms_at(branch, Corner::High, &travel_));
  }

  Limit most() {
    const std::size_t shafts = travel_.size();
    Ohms ceiling = way_.ceiling;
    for (int round = 0; round < kMostRounds && affordable(); ++round) {
      for (std::size_t s = 0; s < shafts; ++s) climb(s);
      const std::vector<double> slope = slopes();
      Ohms above = ohms_;
      for (std::size_t s = 0; s < shafts; ++s) {
        above += std::max(slope[s] * (1 - travel_[s]), slope[s] * (0 - travel_[s]));
      }
      ceiling = std::min(ceiling, above);
      if (ceiling - ohms_ <= 1e-12 * ohms_ || shafts == 1) break;
    }
    return {ceiling, travel_};
  }

 private:
  static constexpr int kMostRounds = 60;

  static constexpr int kClimb = 12;  // solutions that a shaft usually takes

  bool affordable() const { return solved_ + kClimb * way_.circuit.branches.size() <= kMostClimbedBranches; }

  // By Cohn's theorem dR/dr is the current squared, so dR/dt adds it up over the track's halves.
  std::vector<double> slopes() {
    const std::vector<Branch>& branches = way_.circuit.branches;
    for (std::size_t i = 0; i < branches.size(); ++i) {
      if (branches[i].travel) ohms_of_[i] = ohms_at(branches[i], Corner::High, &travel_);
    }
    const Flow flow = course_.flow_at(ohms_of_);
    solved_ += branches.size();
    ohms_ = flow.ohms;
    std::vector<double> slope(travel_.size(), 0);
    for (const Current& current : flow.currents) {
      const Branch& branch = branches[current.resistor];
      if (!branch.travel) continue;
      slope[*branch.travel] +=
          branch.ohms.high * (branch.at_high - branch.at_low) * current.amperes * current.amperes;
    }
    return slope;
  }

  // The slope only falls along the shaft: regula falsi, halving the weight of an end that stays (the Illinois way).
  void climb(std::size_t shaft) {
    const auto slope_at = [&](double t) {
      travel_[shaft] = t;
      return slopes()[shaft];
    };
    if (!affordable()) return;
    double low = kInside;
    double high = 1 - kInside;
    double rising = slope_at(low);
    if (rising <= 0) return;
    double falling = slope_at(high);
    if (falling >= 0) return;
    int stayed = 0;  // how often in a row: below zero the low end, above it the high one
    for (int step = 0; step < 50 && high - low > 1e-15; ++step) {
      double t = low + (high - low) * rising / (rising - falling);
      if (!(t > low && t < high)) t = (low + high) / 2;
      const double slope = slope_at(t);
      if (slope == 0) return;
      if (slope > 0) {
        low = t;
        rising = slope;
        stayed = std::max(stayed, 0) + 1;
        if (stayed > 1) falling /= 2;
      } else {
        high = t;
        falling = slope;
        stayed = std::min(stayed, 0) - 1;
        if (stayed < -1) rising /= 2;
      }
    }
  }

  const Way& way_;
  std::vector<double> travel_;
  Course course_;
  std::vector<double> ohms_of_;  // of each branch
  Ohms ohms_ = 0;                // at the last place looked at
  std::size_t solved_ = 0;       // branches, in all solutions so far
};

}  // namespace

// R is concave in the wipers' places, so its least over the box of places is at a corner of the box.
Limit least(const Way& way, Modules modules) {
  const Circuit& circuit = way.circuit;
  const std::size_t shafts = circuit.travels.size();
  if (shafts > kMostTravels || circuit.branches.size() << shafts > kMostCornerBranches) {
    const Network loose = network_at(circuit, loose_resistors_at(circuit, Corner::Low), modules);
    return {*loose.resistance(way.a, way.b), std::vector<double>(shafts, 0)};
  }
  Limit least{HUGE_VAL, {}};
  std::vector<double> travel(shafts, 0);
  for (std::size_t corner = 0; corner < std::size_t{1} << shafts; ++corner) {
    for (std::size_t s = 0; s < shafts; ++s) travel[s] = (corner >> s) & 1 ? 1 : 0;
    const Network network = network_at(circuit, resistors_at(circuit, Corner::Low, &travel), modules);
    const Ohms ohms = *network.resistance(way.a, way.b);
    if (ohms < least.ohms) least = {ohms, travel};
  }
  return least;
}

Limit most(const Way& way) {
  if (way.circuit.travels.empty()) return {way.ceiling, {}};
  return Climb(way).most();
}

// Between lugs 1 and 3 it does not: the halves are
// always one track. A concave reading that is the same at both limits and between them is the same everywhere.
bool taper_matters(const Way& way, double share) {
  const Circuit& circuit = way.circuit;
  std::size_t solved = 0;
  for (std::size_t t = 0; t < circuit.travels.size(); ++t) {
    if (circuit.travels[t].taper_known) continue;
    solved += 3 * circuit.branches.size();
    if (solved > kMostClimbedBranches) return true;  // in so large a loom, rather unknown than wrong
    const auto at = [&](double place) {
      std::vector<double> travel(circuit.travels.size(), 0.5);
      travel[t] = place;
      return *network_at(circuit, resistors_at(circuit, Corner::Nominal, &travel)).resistance(way.a, way.b);
    };
    const Ohms middle = at(0.5);
    for (const double limit : {0.0, 1.0}) {
      if (std::abs(at(limit) - middle) > share * middle) return true;
    }
  }
  return false;
}

}  // namespace lugwise::expectation::inside
