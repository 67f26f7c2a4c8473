#include "expectation/expectation.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "expectation/corner.h"
#include "network/network.h"

namespace lugwise {
namespace {

// Beyond this many shafts in mid-travel at once the corners are too many, and each half of a track is taken at its own
// least: still sound, no longer attained.
constexpr std::size_t kMostTravels = 12;

// The wiper's place is searched a hair inside its limits, where a half of the track never vanishes.
constexpr double kInside = 1e-9;

class Limits {
 public:
  Limits(const Circuit& circuit, PointId a, PointId b) : circuit_(circuit), a_(a.index), b_(b.index) {}

  // R is concave in the wipers' places, so its least over the box of places is at a corner of the box.
  Ohms least(bool joined) const {
    const std::size_t shafts = circuit_.travels.size();
    if (shafts > kMostTravels) {
      return *network_at(circuit_, loose_resistors_at(circuit_, Corner::Low), joined).resistance(a_, b_);
    }
    Ohms least = HUGE_VAL;
    std::vector<double> travel(shafts, 0);
    for (std::size_t corner = 0; corner < std::size_t{1} << shafts; ++corner) {
      for (std::size_t s = 0; s < shafts; ++s) travel[s] = (corner >> s) & 1 ? 1 : 0;
      least = std::min(least, resistance(Corner::Low, travel, joined));
    }
    return least;
  }

  // A concave maximum: each shaft in turn to where the slope changes sign, until the tangent's ceiling is reached.
  Ohms most() {
    const std::size_t shafts = circuit_.travels.size();
    std::vector<double> travel(shafts, 0.5);
    if (shafts == 0) return resistance(Corner::High, travel, false);
    middle_.emplace(network_at(circuit_, resistors_at(circuit_, Corner::High, &travel)));
    Ohms ceiling = HUGE_VAL;
    for (int round = 0; round < 60; ++round) {
      for (std::size_t s = 0; s < shafts; ++s) climb(travel, s);
      Ohms here = 0;
      const std::vector<double> slope = slopes(travel, here);
      Ohms above = here;
      for (std::size_t s = 0; s < shafts; ++s) {
        above += std::max(slope[s] * (1 - travel[s]), slope[s] * (0 - travel[s]));
      }
      ceiling = std::min(ceiling, above);
      if (ceiling - here <= 1e-11 * here || shafts == 1) break;
    }
    return ceiling;
  }

 private:
  Ohms resistance(Corner corner, const std::vector<double>& travel, bool joined) const {
    return *network_at(circuit_, resistors_at(circuit_, corner, &travel), joined).resistance(a_, b_);
  }

  // By Cohn's theorem dR/dr is the current squared, so dR/dt adds it up over the track's halves.
  std::vector<double> slopes(const std::vector<double>& travel, Ohms& here) const {
    std::vector<double> values;
    values.reserve(circuit_.branches.size());
    for (const Branch& branch : circuit_.branches) values.push_back(ohms_at(branch, Corner::High, &travel));
    const Flow flow = *middle_->reweighted(values).flow(a_, b_);
    here = flow.ohms;
    std::vector<double> slope(circuit_.travels.size(), 0);
    for (const Current& current : flow.currents) {
      const Branch& branch = circuit_.branches[current.resistor];
      if (!branch.travel) continue;
      slope[*branch.travel] +=
          branch.ohms.high * (branch.at_high - branch.at_low) * current.amperes * current.amperes;
    }
    return slope;
  }

  void climb(std::vector<double>& travel, std::size_t shaft) const {
    Ohms here = 0;
    double low = kInside;
    double high = 1 - kInside;
    for (int step = 0; step < 44; ++step) {
      travel[shaft] = (low + high) / 2;
      const double slope = slopes(travel, here)[shaft];
      if (slope == 0) return;
      (slope > 0 ? low : high) = travel[shaft];
    }
  }

  const Circuit& circuit_;
  std::optional<Network> middle_;  // the highest circuit, wipers between their limits: a shape to weigh anew
  std::uint32_t a_;
  std::uint32_t b_;
};

std::vector<Contribution> contributions(const Circuit& circuit, const Flow& flow) {
  std::map<ElementId, Contribution> by_element;
  for (const Current& current : flow.currents) {
    const Branch& branch = circuit.branches[current.resistor];
    const Ohms own = ohms_at(branch, Corner::Nominal);
    Contribution& part = by_element[branch.element];
    part.element = branch.element;
    part.ohms += own * current.amperes * current.amperes;
    part.own += own;
  }
  std::vector<Contribution> parts;
  for (const auto& [id, part] : by_element) {
    parts.push_back(part);
    parts.back().share = part.ohms / flow.ohms;
  }
  std::stable_sort(parts.begin(), parts.end(),
                   [](const Contribution& x, const Contribution& y) { return x.share > y.share; });
  return parts;
}

}  // namespace

Expected expect(const Circuit& circuit, PointId a, PointId b) {
  Expected expected;
  const Network nominal = network_at(circuit, resistors_at(circuit, Corner::Nominal));
  Limits limits(circuit, a, b);
  if (!nominal.connected(a.index, b.index)) {
    const bool maybe = !circuit.modules.empty() &&
                       network_at(circuit, resistors_at(circuit, Corner::Nominal), true).connected(a.index, b.index);
    expected.open = !maybe;
    expected.known = !maybe;
    expected.unlimited = maybe;
    if (maybe) expected.ohms.low = limits.least(true);
    return expected;
  }
  const Flow flow = *nominal.flow(a.index, b.index);
  expected.through = contributions(circuit, flow);
  expected.ohms.nominal = flow.ohms;
  expected.ohms.low = limits.least(false);
  expected.ohms.high = limits.most();
  for (const Current& current : flow.currents) {
    const Branch& branch = circuit.branches[current.resistor];
    if (branch.travel && !circuit.travels[*branch.travel].taper_known) expected.known = false;
  }
  if (!circuit.modules.empty()) {
    const Ohms joined = limits.least(true);
    if (joined < expected.ohms.low) {
      expected.known = false;
      expected.ohms.low = joined;
    }
  }
  return expected;
}

}  // namespace lugwise
