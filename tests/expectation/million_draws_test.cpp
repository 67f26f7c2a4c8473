// What expect() promises, against a million readings of harnesses drawn at random inside their tolerances.
//
// A draw is one whole harness in one setting: every joint, wire, contact, track, coil and resistor gets a value of its own
// inside its limits, every shaft in mid-travel a place, all coils one temperature. A reading is one pair of points on
// one draw. The readings come from loop currents (support/loop_network.h), by no formula of lib/.
#include <algorithm>
#include <cmath>
#include <random>

#include "expectation/expectation.h"
#include "handling/handling.h"
#include "support/bench.h"
#include "support/catch.h"
#include "support/exact_network.h"
#include "support/harness_from.h"
#include "support/loop_network.h"
#include "support/slow_build.h"

using namespace lugwise;
using namespace lugwise::test;

namespace {

using Random = std::mt19937_64;

double even(Random& random) { return std::uniform_real_distribution<double>(0, 1)(random); }

// A place in a band: 0 its low end, 1 its high one. Each end is taken once in eight times.
double somewhere(Random& random) {
  const auto die = random() % 8;
  return die == 0 ? 0 : die == 1 ? 1 : even(random);
}

// One harness of all that the tolerances allow.
struct Draw {
  std::vector<double> place;   // of each branch in its band
  std::vector<double> travel;  // of each shaft in mid-travel
  double celsius = 20;
};

Draw corner(const Circuit& circuit, double place, double celsius) {
  return {std::vector<double>(circuit.branches.size(), place), std::vector<double>(circuit.travels.size(), 0),
          celsius};
}

Draw drawn(const Circuit& circuit, const Temperature& temperature, Random& random) {
  Draw draw = corner(circuit, 0, temperature.low + somewhere(random) * (temperature.high - temperature.low));
  for (std::size_t i = 0; i < circuit.branches.size(); ++i) {
    // Both halves of a track are one track.
    const bool same = i > 0 && circuit.branches[i].element == circuit.branches[i - 1].element;
    draw.place[i] = same ? draw.place[i - 1] : somewhere(random);
  }
  for (double& travel : draw.travel) travel = somewhere(random);
  return draw;
}

// IEC 60028: copper gains 0.393 % of its resistance at 20 degrees C with every degree.
std::vector<Resistor> resistors_of(const Harness& harness, const Circuit& circuit, const Draw& draw) {
  std::vector<Resistor> resistors;
  for (std::size_t i = 0; i < circuit.branches.size(); ++i) {
    const Branch& branch = circuit.branches[i];
    const Element& element = harness[branch.element];
    const bool coil = element.kind == ElementKind::Coil;
    const Band& band = coil ? element.ohms : branch.ohms;
    double ohms = band.low + draw.place[i] * (band.high - band.low);
    if (coil) ohms *= 1 + 0.00393 * (draw.celsius - 20);
    if (branch.travel) ohms *= std::lerp(branch.at_low, branch.at_high, draw.travel[*branch.travel]);
    resistors.push_back({branch.a.index, branch.b.index, std::max(0.0, ohms)});
  }
  return resistors;
}

// What a module may be: a chain of any resistances over its points, or of none.
void add_modules(const Circuit& circuit, std::vector<Resistor>& resistors, Random* random) {
  for (const std::vector<PointId>& module : circuit.modules) {
    for (std::size_t i = 1; i < module.size(); ++i) {
      const double ohms = random ? somewhere(*random) * std::pow(10, 6 * even(*random)) : 0;
      resistors.push_back({module[i - 1].index, module[i].index, ohms});
    }
  }
}

// The settings a plan may ask for, each pot alone in mid-travel, and some with knobs and switches anywhere.
std::vector<Setting> settings_of(const Harness& harness, Random& random) {
  std::vector<Setting> settings = settings_to_try(harness, std::nullopt);
  const Setting rest(harness);
  for (const PartId control : harness.controls()) {
    if (!harness[control].pot) continue;
    for (const double knob : {0.5, 3.0, 5.0, 8.0, 9.9}) {
      settings.push_back(rest);
      settings.back().turn(control, knob);
    }
  }
  for (int extra = 0; extra < 12; ++extra) {
    Setting setting = rest;
    for (const PartId control : harness.controls()) {
      const Part& part = harness[control];
      if (part.pot) setting.turn(control, static_cast<double>(random() % 21) / 2);
      if (!part.positions.empty())
        setting.select(control, static_cast<std::uint16_t>(random() % part.positions.size()));
    }
    settings.push_back(setting);
  }
  return settings;
}

struct Pair {
  PointId a;
  PointId b;
  Expected expected;
};

// The highest reading, by trying: every shaft on a grid, then one after the other to the best place within one mesh of the
// best so far, until nothing is gained.
class Search {
 public:
  Search(const Harness& harness, const Circuit& circuit, double celsius, const Pair& pair)
      : harness_(harness), circuit_(circuit), pair_(pair), draw_(corner(circuit, 1, celsius)) {}

  double highest() {
    const std::size_t shafts = draw_.travel.size();
    const std::size_t places = shafts <= 1 ? 33 : shafts == 2 ? 9 : 5;
    std::vector<double> best;
    double most = 0;
    std::size_t all = 1;
    for (std::size_t s = 0; s < shafts; ++s) all *= places;
    for (std::size_t g = 0; g < all; ++g) {
      std::size_t rest = g;
      for (double& travel : draw_.travel) {
        travel = static_cast<double>(rest % places) / static_cast<double>(places - 1);
        rest /= places;
      }
      const double ohms = reading();
      if (ohms >= most) {
        most = ohms;
        best = draw_.travel;
      }
    }
    draw_.travel = best;
    const double mesh = 1.0 / static_cast<double>(places - 1);
    for (int round = 0; round < 200; ++round) {
      const double before = most;
      for (std::size_t s = 0; s < shafts; ++s) most = std::max(most, best_along(s, mesh));
      if (most <= before * (1 + 1e-13)) break;
    }
    return most;
  }

 private:
  double reading() {
    return *LoopNetwork(circuit_.points, resistors_of(harness_, circuit_, draw_))
                .resistance(pair_.a.index, pair_.b.index);
  }

  double at(std::size_t shaft, double place) {
    draw_.travel[shaft] = place;
    return reading();
  }

  // Golden section.
  double best_along(std::size_t shaft, double mesh) {
    const double golden = (std::sqrt(5) - 1) / 2;
    const double old = draw_.travel[shaft];
    double low = std::max(0.0, old - mesh);
    double high = std::min(1.0, old + mesh);
    const double low_end = low;
    const double high_end = high;
    double left = high - golden * (high - low);
    double right = low + golden * (high - low);
    double at_left = at(shaft, left);
    double at_right = at(shaft, right);
    while (high - low > 1e-6) {
      if (at_left < at_right) {
        low = left;
        left = right;
        at_left = at_right;
        right = low + golden * (high - low);
        at_right = at(shaft, right);
      } else {
        high = right;
        right = left;
        at_right = at_left;
        left = high - golden * (high - low);
        at_left = at(shaft, left);
      }
    }
    double most = -1;
    double place = old;
    for (const double candidate : {old, (low + high) / 2, low_end, high_end}) {
      const double ohms = at(shaft, candidate);
      if (ohms > most) {
        most = ohms;
        place = candidate;
      }
    }
    draw_.travel[shaft] = place;
    return most;
  }

  const Harness& harness_;
  const Circuit& circuit_;
  const Pair& pair_;
  Draw draw_;
};

bool alike(double x, double y) { return std::abs(x - y) <= 1e-9 * std::max(std::abs(x), std::abs(y)); }

}  // namespace

TEST_CASE("loop currents give what exact fractions give", "[expectation]") {
  Random random(11);
  for (int network = 0; network < 60; ++network) {
    const std::size_t points = 2 + random() % 7;
    std::vector<Resistor> resistors;
    for (std::size_t r = 0; r < points + random() % 6; ++r) {
      const auto a = static_cast<std::uint32_t>(random() % points);
      const auto b = static_cast<std::uint32_t>(random() % points);
      const double ohms = random() % 6 == 0 ? 0 : std::pow(10, -6 + 12 * even(random));
      if (a != b) resistors.push_back({a, b, ohms});
    }
    const ExactNetwork exact(points, resistors);
    const LoopNetwork loops(points, resistors);
    for (std::uint32_t a = 0; a < points; ++a) {
      for (std::uint32_t b = 0; b < points; ++b) {
        const auto right = exact.resistance(a, b);
        const auto found = loops.resistance(a, b);
        REQUIRE(right.has_value() == found.has_value());
        if (right) CHECK(std::abs(*right - *found) <= 1e-13 * *right);
      }
    }
  }
}

TEST_CASE("of a million readings on harnesses drawn inside their tolerances none leaves its band",
          "[expectation]") {
  const std::size_t goal = kSlowBuild ? 30'000 : 1'000'000;
  const std::size_t pairs_each = 20;
  const std::size_t settings_kept = kSlowBuild ? 12 : 100'000;
  Random random(20);

  struct Case {
    std::size_t harness;
    State state;
  };
  std::vector<Harness> harnesses;
  std::vector<Case> cases;
  for (const std::string& path : worked_harnesses()) {
    harnesses.push_back(worked_harness(path).harness);
    std::vector<Setting> settings = settings_of(harnesses.back(), random);
    std::shuffle(settings.begin(), settings.end(), random);
    settings.resize(std::min(settings.size(), settings_kept));
    for (const Setting& setting : settings) {
      State state;
      state.setting = setting;
      state.cavity_open = random() % 2 == 0;
      if (random() % 3 == 0) state.temperature = exactly(static_cast<double>(random() % 40));
      cases.push_back({harnesses.size() - 1, state});
      if (kSlowBuild) continue;
      state.cavity_open = !state.cavity_open;
      cases.push_back({harnesses.size() - 1, state});
    }
  }
  REQUIRE(harnesses.size() >= 17);

  std::size_t draws = 0;
  std::size_t readings = 0;
  std::size_t outside = 0;
  std::size_t ends = 0;
  std::size_t searched = 0;
  std::size_t missed = 0;
  const std::size_t draws_each = goal / (cases.size() * pairs_each) + 1;
  for (const Case& one : cases) {
    const Harness& harness = harnesses[one.harness];
    const Circuit circuit = circuit_of(harness, one.state);
    const Temperature& temperature = one.state.temperature;
    std::vector<PointId> points = reachable(harness, std::nullopt, 9);
    std::erase_if(points, [&](PointId id) { return !circuit.has(id); });

    // All low with every wiper at either limit, and all high with the wipers at one.
    std::vector<LoopNetwork> lowest;
    for (std::size_t bits = 0; bits < std::size_t{1} << circuit.travels.size(); ++bits) {
      Draw draw = corner(circuit, 0, temperature.low);
      for (std::size_t t = 0; t < draw.travel.size(); ++t) draw.travel[t] = (bits >> t) & 1 ? 1 : 0;
      std::vector<Resistor> resistors = resistors_of(harness, circuit, draw);
      add_modules(circuit, resistors, nullptr);
      lowest.emplace_back(circuit.points, resistors);
    }
    const LoopNetwork high(circuit.points,
                           resistors_of(harness, circuit, corner(circuit, 1, temperature.high)));

    std::vector<Pair> pairs;
    for (int tries = 0; pairs.size() < pairs_each && tries < 400; ++tries) {
      Pair pair{points[random() % points.size()], points[random() % points.size()], {}};
      if (pair.a == pair.b) continue;
      INFO(harness.name << ": " << harness[pair.a].name << ", " << harness[pair.b].name);
      const auto least = lowest.front().resistance(pair.a.index, pair.b.index);
      const auto most = high.resistance(pair.a.index, pair.b.index);
      // What is open is found in no time and needs no draws; a tenth of the tries is enough for it.
      if (!least && tries % 10 != 0) continue;
      pair.expected = expect(circuit, pair.a, pair.b);
      REQUIRE(pair.expected.open == !least.has_value());
      if (!least) continue;
      REQUIRE(pair.expected.unlimited == !most.has_value());
      double lower = *least;
      for (const LoopNetwork& network : lowest)
        lower = std::min(lower, *network.resistance(pair.a.index, pair.b.index));
      ++ends;
      if (!alike(lower, pair.expected.ohms.low)) {
        ++missed;
        UNSCOPED_INFO("low " << pair.expected.ohms.low << ", reached " << lower);
      }
      if (most && circuit.travels.empty()) {
        ++ends;
        if (!alike(*most, pair.expected.ohms.high)) ++missed;
      }
      pairs.push_back(std::move(pair));
    }
    if (!circuit.travels.empty() && circuit.travels.size() <= 4) {
      const std::size_t some = circuit.travels.size() <= 2 ? 2 : 1;
      for (std::size_t p = 0; p < std::min(pairs.size(), some); ++p) {
        if (pairs[p].expected.unlimited) continue;
        const double reached = Search(harness, circuit, temperature.high, pairs[p]).highest();
        ++searched;
        INFO(harness.name << ": " << harness[pairs[p].a].name << ", " << harness[pairs[p].b].name << ": high "
                          << pairs[p].expected.ohms.high << ", reached " << reached << " of "
                          << circuit.travels.size());
        CHECK(alike(reached, pairs[p].expected.ohms.high));
      }
    }

    for (std::size_t d = 0; d < draws_each; ++d) {
      std::vector<Resistor> resistors = resistors_of(harness, circuit, drawn(circuit, temperature, random));
      add_modules(circuit, resistors, &random);
      const LoopNetwork network(circuit.points, resistors);
      ++draws;
      for (const Pair& pair : pairs) {
        const double ohms = *network.resistance(pair.a.index, pair.b.index);
        const Expected& expected = pair.expected;
        const bool above = !expected.unlimited && ohms > expected.ohms.high * (1 + 1e-11);
        if (above || ohms < expected.ohms.low * (1 - 1e-11)) {
          ++outside;
          UNSCOPED_INFO(harness.name << ": " << harness[pair.a].name << ", " << harness[pair.b].name << ": "
                                     << ohms);
        }
        ++readings;
      }
    }
  }
  CHECK(outside == 0);
  CHECK(missed == 0);
  CHECK(readings >= goal);
  CHECK(draws >= goal / 25);  // different harnesses
  CHECK(ends >= goal / 50);
  CHECK(searched >= goal / 1000);
}
