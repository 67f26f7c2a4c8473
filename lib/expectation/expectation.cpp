#include "expectation/expectation.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"
#include "network/network.h"

namespace lugwise {
namespace {

// Beyond this many shafts in mid-travel on the way the corners are too many, and each half of a track is taken at its own
// least: still sound, no longer attained. The same where the corners of a large loom would take seconds.
constexpr std::size_t kMostTravels = 12;
constexpr std::size_t kMostCornerBranches = 1'000'000;

// The search for the most ends after so many branches have been solved: what it has by then is a sound limit too.
constexpr std::size_t kMostClimbedBranches = 200'000;

// A reading that moves by no more than this share of itself is known: it is finer than the last digit of a display.
constexpr double kBelowDisplay = 1e-4;

// The wiper's place is searched a hair inside its limits, where a half of the track never vanishes.
constexpr double kInside = 1e-9;

// What lies on the way between two probes: the branches of every block of the network that the current passes, with
// their points and travels numbered anew. The rest of the circuit hangs off it, whatever its values.
struct Way {
  Circuit circuit;
  std::vector<std::uint32_t> travels;  // which of the whole circuit's each of its travels is
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  Ohms ceiling = 0;  // each half of a track at its own most: no reading is higher
};

// The circuit at its highest, where a branch has no ohms only if it never has any.
Network highest(const Circuit& circuit, Modules modules) {
  return network_at(circuit, loose_resistors_at(circuit, Corner::High), modules);
}

Way way_between(const Circuit& circuit, const Network& network, PointId a, PointId b, Modules modules) {
  std::vector<char> passed(network.resistors().size(), 0);  // by block
  for (std::uint32_t block : network.blocks_between(a.index, b.index)) passed[block] = 1;

  constexpr std::uint32_t kNone = ~0U;
  std::vector<std::uint32_t> point(circuit.points, kNone);
  std::vector<std::uint32_t> travel(circuit.travels.size(), kNone);
  Way way;
  const auto point_on_way = [&](PointId id) {
    if (point[id.index] == kNone) point[id.index] = static_cast<std::uint32_t>(way.circuit.points++);
    return PointId{point[id.index]};
  };
  way.a = point_on_way(a).index;
  way.b = point_on_way(b).index;
  way.ceiling = *network.resistance(a.index, b.index);
  for (std::uint32_t i = 0; i < circuit.branches.size(); ++i) {
    const auto block = network.block(i);
    if (block ? !passed[*block] : network.resistors()[i].ohms > 0) continue;
    Branch branch = circuit.branches[i];
    branch.a = point_on_way(branch.a);
    branch.b = point_on_way(branch.b);
    if (branch.travel) {
      std::uint32_t& number = travel[*branch.travel];
      if (number == kNone) {
        number = static_cast<std::uint32_t>(way.circuit.travels.size());
        way.circuit.travels.push_back(circuit.travels[*branch.travel]);
        way.travels.push_back(*branch.travel);
      }
      branch.travel = number;
    }
    way.circuit.branches.push_back(std::move(branch));
  }
  if (modules == Modules::Apart) return way;
  for (const std::vector<PointId>& module : circuit.modules) {
    way.circuit.modules.emplace_back();
    for (PointId id : module) way.circuit.modules.back().push_back(point_on_way(id));
  }
  return way;
}

// A reading, and the places of the way's travels where it was found.
struct Limit {
  Ohms ohms = 0;
  std::vector<double> travel;
};

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

// The same where every module joins its points.
Ohms least_joined(const Circuit& circuit, PointId a, PointId b) {
  const Network network = highest(circuit, Modules::Joined);
  return least(way_between(circuit, network, a, b, Modules::Joined), Modules::Joined).ohms;
}

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

Limit most(const Way& way) {
  if (way.circuit.travels.empty()) return {way.ceiling, {}};
  return Climb(way).most();
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

// Does the place of a wiper whose taper nobody gave move the reading? Between lugs 1 and 3 it does not: the halves are
// always one track. A concave reading that is the same at both limits and between them is the same everywhere.
bool taper_matters(const Way& way) {
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
      if (std::abs(at(limit) - middle) > kBelowDisplay * middle) return true;
    }
  }
  return false;
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
  expected.known = !taper_matters(way);
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
