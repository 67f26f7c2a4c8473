#include "expectation/expectation.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"
#include "expectation/inside/limit.h"
#include "expectation/inside/passage.h"
#include "network/network.h"

namespace lugwise {

using namespace expectation::inside;
namespace {

// A reading that moves by no more than this share of itself is known: it is finer than the last digit of a display.
constexpr double kBelowDisplay = 1e-4;

// The least where every module joins its points.
Ohms least_joined(const Circuit& circuit, PointId a, PointId b) {
  const Network network = highest(circuit, Modules::Joined);
  return least(way_between(circuit, network, a, b, Modules::Joined), Modules::Joined).ohms;
}

// The places of all travels, those off the way in the middle.
std::vector<double> all_places(const Circuit& circuit, const Way& way, const Limit& limit) {
  std::vector<double> travel(circuit.travels.size(), 0.5);
  for (std::size_t t = 0; t < way.travels.size(); ++t) travel[way.travels[t]] = limit.travel[t];
  return travel;
}

// How far a branch's tolerance takes it up or down, the temperature left out.
Ohms half_width(const Circuit& circuit, const Branch& branch) {
  const Band& ohms = branch.ohms;
  if (!branch.copper) return (ohms.high - ohms.low) / 2 * branch.at_nominal;
  const Band& copper = circuit.copper;
  return (ohms.high / copper.high - ohms.low / copper.low) / 2 * copper.nominal;
}

void add_place(PartId control, Ohms ohms, std::vector<Spread::Place>& places) {
  const auto known = std::find_if(places.begin(), places.end(),
                                  [&](const Spread::Place& place) { return place.control == control; });
  if (known != places.end()) {
    known->ohms += ohms;
  } else {
    places.push_back({control, ohms});
  }
}

// By Cohn's theorem the reading moves by a branch's own change times its current squared.
void break_down(const Circuit& circuit, const Flow& flow, Expected& expected) {
  std::vector<Contribution>& parts = expected.through;
  std::vector<Ohms> slope(circuit.travels.size(), 0);
  for (const Current& current : flow.currents) {
    const Branch& branch = circuit.branches[current.resistor];
    const Ohms own = ohms_at(branch, Corner::Nominal);
    const double squared = current.amperes * current.amperes;
    // Branches come by their elements: the halves of a track are neighbours.
    if (parts.empty() || parts.back().element != branch.element)
      parts.push_back({branch.element, 0, 0, 0, 0});
    parts.back().ohms += own * squared;
    parts.back().own += own;
    parts.back().spread += half_width(circuit, branch) * squared;
    if (branch.copper) expected.in_coils += own * squared;
    if (branch.travel)
      slope[*branch.travel] += branch.ohms.nominal * (branch.at_high - branch.at_low) * squared;
  }
  for (Contribution& part : parts) part.share = part.ohms / flow.ohms;
  std::stable_sort(parts.begin(), parts.end(),
                   [](const Contribution& x, const Contribution& y) { return x.share > y.share; });
  const Band& copper = circuit.copper;
  expected.spread.temperature = expected.in_coils * (copper.high - copper.low) / 2 / copper.nominal;
  for (std::size_t t = 0; t < slope.size(); ++t) {
    if (slope[t] != 0) add_place(circuit.travels[t].control, std::abs(slope[t]) / 2, expected.spread.places);
  }
}

}  // namespace

Expected expect(const Circuit& circuit, PointId a, PointId b) {
  Expected expected;
  const Network high = highest(circuit, Modules::Apart);
  if (!high.connected(a.index, b.index)) {
    const bool maybe = !circuit.modules.empty() &&
                       network_at(circuit, resistors_at(circuit, Corner::Nominal), Modules::Joined)
                           .connected(a.index, b.index);
    expected.open = !maybe;
    expected.known = !maybe;
    expected.unlimited = maybe;
    if (maybe) expected.ohms.low = least_joined(circuit, a, b);
    return expected;
  }
  const Flow flow = *network_like(high, resistors_at(circuit, Corner::Nominal)).flow(a.index, b.index);
  const Way way = way_between(circuit, high, a, b, Modules::Apart);
  break_down(circuit, flow, expected);
  expected.ohms.nominal = flow.ohms;
  const Limit low = least(way, Modules::Apart);
  const Limit top = most(way);
  expected.ohms.low = low.ohms;
  expected.ohms.high = top.ohms;
  expected.lowest_at = all_places(circuit, way, low);
  expected.highest_at = all_places(circuit, way, top);
  expected.known = !taper_matters(way, kBelowDisplay);
  if (!circuit.modules.empty()) {
    const Ohms without = expected.ohms.low;
    expected.ohms.low = std::min(without, least_joined(circuit, a, b));
    expected.spread.module = (without - expected.ohms.low) / 2;
    const Ohms joined = *network_at(circuit, resistors_at(circuit, Corner::Nominal), Modules::Joined)
                             .resistance(a.index, b.index);
    if (joined < (1 - kBelowDisplay) * flow.ohms) expected.known = false;
  }
  return expected;
}

void follow_wipers(const Circuit& circuit, PointId a, PointId b, Expected& expected) {
  if (expected.open || expected.unlimited || circuit.branches.size() > kMostBranches) return;
  std::vector<double> usual(circuit.travels.size(), 0.5);
  for (const Branch& branch : circuit.branches) {
    if (!branch.travel || branch.at_low == branch.at_high) continue;
    usual[*branch.travel] = (branch.at_nominal - branch.at_low) / (branch.at_high - branch.at_low);
  }
  std::vector<Spread::Place> places;
  for (std::size_t t = 0; t < circuit.travels.size(); ++t) {
    Ohms low = expected.ohms.nominal;
    Ohms high = expected.ohms.nominal;
    for (const double limit : {0.0, 1.0}) {
      std::vector<double> travel = usual;
      travel[t] = limit;
      const Network network = network_at(circuit, resistors_at(circuit, Corner::Nominal, &travel));
      const Ohms ohms = *network.resistance(a.index, b.index);
      low = std::min(low, ohms);
      high = std::max(high, ohms);
    }
    // What hangs off the way moves only the last bits.
    if (high - low > 1e-9 * expected.ohms.nominal)
      add_place(circuit.travels[t].control, (high - low) / 2, places);
  }
  expected.spread.places = std::move(places);
}

bool through_coils(const Expected& expected) {
  constexpr double kShows =
      0.001;  // a tenth of it at ten degrees more than any workshop's is below a display
  return !expected.open && expected.in_coils > 0 && expected.in_coils >= kShows * expected.ohms.nominal;
}

std::optional<Ohms> nominal_at_20(const Circuit& circuit, PointId a, PointId b) {
  std::vector<Resistor> resistors = resistors_at(circuit, Corner::Nominal);
  for (std::size_t i = 0; i < resistors.size(); ++i) {
    if (circuit.branches[i].copper) resistors[i].ohms /= circuit.copper.nominal;
  }
  return network_at(circuit, std::move(resistors)).resistance(a.index, b.index);
}

}  // namespace lugwise
