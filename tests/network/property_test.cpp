// What holds for every network whatever its values: symmetry, agreement of the answers with each other,
// refusal of nonsense, and size.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <set>

#include "shapes.h"
#include "support/catch.h"
#include "support/exact_network.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinRel;

constexpr int kRounds = kSlowBuild ? 40 : 400;

Shape anything(Dice& dice) { return random_any(dice, 2 + dice.below(24), dice.below(40)); }

bool same(std::optional<double> x, std::optional<double> y) {
  return x.has_value() == y.has_value() && (!x || std::abs(*x - *y) <= 1e-12 * std::abs(*y));
}

TEST_CASE("a point reads zero to itself and to every point joined to it by zero ohms, and to no other") {
  Dice dice(51);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network network = shape.network();
    for (std::uint32_t a = 0; a < shape.points; ++a) {
      CHECK(network.resistance(a, a) == 0.0);
      CHECK(network.flow(a, a)->ohms == 0.0);
      CHECK(network.flow(a, a)->currents.empty());
      for (std::uint32_t b = 0; b < a; ++b) {
        CHECK((network.resistance(a, b) == 0.0) == (network.merged(a) == network.merged(b)));
      }
    }
  }
}

TEST_CASE("swapping the probes changes no reading and turns every current around") {
  Dice dice(52);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network network = shape.network();
    const std::uint32_t a = dice.below(shape.points);
    const std::uint32_t b = dice.below(shape.points);
    CHECK(same(network.resistance(a, b), network.resistance(b, a)));
    const std::optional<Flow> there = network.flow(a, b);
    const std::optional<Flow> back = network.flow(b, a);
    REQUIRE(there.has_value() == back.has_value());
    if (!there) continue;
    CHECK_THAT(there->ohms, WithinRel(back->ohms, 1e-12));
    std::vector<double> sum(shape.resistors.size(), 0);
    for (const Current& current : there->currents) sum[current.resistor] += current.amperes;
    for (const Current& current : back->currents) sum[current.resistor] += current.amperes;
    for (double rest : sum) CHECK(std::abs(rest) < 1e-12);
  }
}

TEST_CASE("neither the order of the resistors nor their direction nor the points' numbers matter") {
  Dice dice(53);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    std::vector<std::uint32_t> name(shape.points);
    std::iota(name.begin(), name.end(), 0U);
    for (std::uint32_t i = shape.points - 1; i > 0; --i) std::swap(name[i], name[dice.below(i + 1)]);
    Shape renamed{shape.points, {}};
    for (const Resistor& r : shape.resistors) {
      const bool turned = dice.below(2) == 0;
      renamed.add(name[turned ? r.b : r.a], name[turned ? r.a : r.b], r.ohms);
    }
    for (std::uint32_t i = 1; i < renamed.resistors.size(); ++i) {
      std::swap(renamed.resistors[i], renamed.resistors[dice.below(i + 1)]);
    }
    const Network network = shape.network();
    const Network other = renamed.network();
    for (std::uint32_t a = 0; a < shape.points; ++a) {
      for (std::uint32_t b = 0; b < a; ++b) {
        CHECK(same(network.resistance(a, b), other.resistance(name[a], name[b])));
      }
    }
  }
}

TEST_CASE(
    "all pairs at once, one pair and the flow give the same reading; any points may be asked, in any order") {
  Dice dice(54);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network network = shape.network();
    std::vector<std::uint32_t> asked(dice.below(2 * shape.points));
    for (std::uint32_t& point : asked) point = dice.below(shape.points);
    const std::vector<std::optional<double>> table = network.all_pairs(asked);
    REQUIRE(table.size() == asked.size() * asked.size());
    for (std::size_t i = 0; i < asked.size(); ++i) {
      for (std::size_t j = 0; j < asked.size(); ++j) {
        const std::optional<double> reading = network.resistance(asked[i], asked[j]);
        CHECK(same(table[i * asked.size() + j], reading));
        CHECK(reading.has_value() == network.connected(asked[i], asked[j]));
        const std::optional<Flow> flow = network.flow(asked[i], asked[j]);
        CHECK(same(flow ? std::optional(flow->ohms) : std::nullopt, reading));
      }
    }
  }
}

TEST_CASE("another conductor never raises a reading and never opens one") {
  Dice dice(55);
  for (int round = 0; round < kRounds; ++round) {
    Shape shape = anything(dice);
    std::vector<std::uint32_t> all(shape.points);
    std::iota(all.begin(), all.end(), 0U);
    const std::vector<std::optional<double>> before = shape.network().all_pairs(all);
    shape.add(dice.below(shape.points), dice.below(shape.points), dice.below(4) == 0 ? 0 : dice.ohms());
    const std::vector<std::optional<double>> after = shape.network().all_pairs(all);
    for (std::size_t i = 0; i < before.size(); ++i) {
      if (!before[i]) continue;
      REQUIRE(after[i].has_value());
      CHECK(*after[i] <= *before[i] * (1 + 1e-12));
    }
  }
}

TEST_CASE("a course followed at other ohms is to the last bit the flow of the reweighted network") {
  Dice dice(58);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network network = shape.network();
    const std::uint32_t a = dice.below(shape.points);
    const std::uint32_t b = dice.below(shape.points);
    if (!network.connected(a, b)) {
      CHECK_THROWS_AS(Course(network, a, b), std::invalid_argument);
      continue;
    }
    Course course(network, a, b);
    for (int time = 0; time < 3; ++time) {
      std::vector<double> ohms;
      for (const Resistor& each : shape.resistors) ohms.push_back(each.ohms == 0 ? 0 : dice.ohms());
      const Flow again = course.flow_at(ohms);
      const Flow anew = *network.reweighted(ohms).flow(a, b);
      CHECK(again.ohms == anew.ohms);
      REQUIRE(again.currents.size() == anew.currents.size());
      bool alike = true;
      for (std::size_t i = 0; i < anew.currents.size(); ++i) {
        alike = alike && again.currents[i].resistor == anew.currents[i].resistor &&
                again.currents[i].amperes == anew.currents[i].amperes;
      }
      CHECK(alike);
    }
  }
}

TEST_CASE("a course refuses ohms that would join or part what lies on its way") {
  const Network bridge(3, {{0, 1, 12}, {1, 2, 6}, {0, 2, 18}});
  Course course(bridge, 0, 2);
  for (const double ohms : {0.0, -1.0, 1e101, HUGE_VAL, std::nan("")})
    CHECK_THROWS_AS(course.flow_at({12, ohms, 18}), std::invalid_argument);
  CHECK_THROWS_AS(course.flow_at({12, 6}), std::out_of_range);
}

TEST_CASE("losing a cut parts its ends, losing anything else leaves its detour") {
  Dice dice(56);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network network = shape.network();
    for (std::uint32_t r = 0; r < shape.resistors.size(); ++r) {
      Shape rest = shape;
      rest.resistors.erase(rest.resistors.begin() + r);
      const Network left = rest.network();
      const Resistor& lost = shape.resistors[r];
      CHECK(network.cut(r) == !left.connected(lost.a, lost.b));
      CHECK(same(network.detour(r), left.resistance(lost.a, lost.b)));
    }
  }
}

// Every answer of two networks with the same points and resistors.
bool same_answers(const Network& x, const Network& y, const std::vector<std::uint32_t>& resistor_of_y) {
  std::vector<std::uint32_t> all(x.points());
  std::iota(all.begin(), all.end(), 0U);
  const std::vector<std::optional<double>> table_x = x.all_pairs(all);
  const std::vector<std::optional<double>> table_y = y.all_pairs(all);
  bool ok = true;
  for (std::size_t i = 0; i < table_x.size(); ++i) ok = ok && same(table_x[i], table_y[i]);
  for (std::uint32_t a : all) {
    const std::uint32_t b = (a * 7 + 3) % static_cast<std::uint32_t>(all.size());
    ok = ok && same(x.resistance(a, b), y.resistance(a, b));
    const std::optional<Flow> flow_x = x.flow(a, b);
    const std::optional<Flow> flow_y = y.flow(a, b);
    ok = ok && flow_x.has_value() == flow_y.has_value();
    if (!ok || !flow_x) continue;
    std::vector<double> off(x.resistors().size(), 0);
    for (const Current& c : flow_x->currents) off[c.resistor] += c.amperes;
    for (const Current& c : flow_x->currents) ok = ok && std::isfinite(x.resistors()[c.resistor].ohms);
    for (const Current& c : flow_y->currents) off[resistor_of_y[c.resistor]] -= c.amperes;
    for (double amperes : off) ok = ok && std::abs(amperes) < 1e-12;
  }
  for (std::uint32_t r = 0; r < resistor_of_y.size(); ++r) {
    ok = ok && x.cut(resistor_of_y[r]) == y.cut(r) && same(x.detour(resistor_of_y[r]), y.detour(r));
  }
  return ok;
}

TEST_CASE("a network weighed anew answers as one made with those ohms") {
  Dice dice(59);
  for (int round = 0; round < kRounds; ++round) {
    Shape shape = anything(dice);
    const Network before = shape.network();
    std::vector<double> ohms;
    std::vector<std::uint32_t> names;
    for (Resistor& r : shape.resistors) {
      if (r.ohms > 0) r.ohms = dice.ohms();
      names.push_back(static_cast<std::uint32_t>(ohms.size()));
      ohms.push_back(r.ohms);
    }
    CHECK(same_answers(before.reweighted(ohms), shape.network(), names));
  }
}

TEST_CASE("resistors taken out by infinite ohms leave what a network without them answers") {
  Dice dice(60);
  int taken = 0;
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = anything(dice);
    const Network before = shape.network();
    std::vector<double> ohms;
    for (const Resistor& r : shape.resistors) ohms.push_back(r.ohms);
    Shape rest{shape.points, {}};
    std::vector<std::uint32_t> names;
    for (std::uint32_t r = 0; r < ohms.size(); ++r) {
      if (ohms[r] > 0 && dice.below(6) == 0) {
        ohms[r] = std::numeric_limits<double>::infinity();
        continue;
      }
      rest.resistors.push_back(shape.resistors[r]);
      names.push_back(r);
    }
    const Network without_them = rest.network();
    bool parts = false;
    for (const Resistor& r : shape.resistors) parts = parts || !without_them.connected(r.a, r.b);
    if (parts) {
      CHECK_THROWS_AS(before.reweighted(ohms), std::invalid_argument);
    } else {
      CHECK(same_answers(before.reweighted(ohms), without_them, names));
      taken += names.size() < ohms.size() ? 1 : 0;
    }
  }
  CHECK(taken > kRounds / 20);
}

TEST_CASE("new ohms that a network cannot take are refused") {
  const Network network(3, {{0, 1, 1}, {1, 2, 0}, {0, 1, 5}});
  CHECK_THROWS_AS(network.reweighted({1, 0}), std::invalid_argument);
  CHECK_THROWS_AS(network.reweighted({1, 1, 1}), std::invalid_argument);
  CHECK_THROWS_AS(network.reweighted({0, 0, 1}), std::invalid_argument);
  for (double ohms : {-1.0, std::numeric_limits<double>::quiet_NaN(), 1e-310, 1e-101, 1e101,
                      -std::numeric_limits<double>::infinity()}) {
    CHECK_THROWS_AS(network.reweighted({ohms, 0, 1}), std::invalid_argument);
  }
  const double out = std::numeric_limits<double>::infinity();
  CHECK(network.reweighted({out, 0, 5}).resistance(0, 2) == 5.0);
  CHECK_THROWS_AS(network.reweighted({out, 0, out}), std::invalid_argument);
}

TEST_CASE("resistors share a block exactly if some way around passes through both") {
  // Two triangles on one point, and a tail with a parallel pair.
  const Network network(7, {{0, 1, 1},
                            {1, 2, 1},
                            {2, 0, 1},
                            {2, 3, 1},
                            {3, 4, 1},
                            {4, 2, 1},
                            {4, 5, 1},
                            {5, 6, 1},
                            {6, 5, 2},
                            {6, 6, 1},
                            {1, 0, 0}});
  CHECK_FALSE(network.block(0).has_value());  // bypassed by zero ohms
  CHECK(network.block(1) == network.block(2));
  CHECK(network.block(3) == network.block(4));
  CHECK(network.block(4) == network.block(5));
  CHECK(network.block(2) != network.block(3));
  CHECK(network.block(6) != network.block(5));
  CHECK(network.block(7) == network.block(8));
  CHECK_FALSE(network.block(9).has_value());
  CHECK_FALSE(network.block(10).has_value());
  CHECK(network.cut(6));
  for (std::uint32_t r : {0U, 1U, 2U, 3U, 4U, 5U, 7U, 8U, 9U, 10U}) CHECK_FALSE(network.cut(r));
}

TEST_CASE("the blocks between two points are those that a current between them passes") {
  for (unsigned seed = 1; seed <= 50; ++seed) {
    std::mt19937 random(seed);
    const std::uint32_t points = 12;
    std::vector<Resistor> resistors;
    for (std::uint32_t i = 0; i < 16; ++i) {
      resistors.push_back({static_cast<std::uint32_t>(random() % points),
                           static_cast<std::uint32_t>(random() % points),
                           1.0 + 0.37 * static_cast<double>(random() % 100)});
    }
    const Network network(points, resistors);
    for (std::uint32_t a = 0; a < points; ++a) {
      for (std::uint32_t b = 0; b < points; ++b) {
        std::set<std::uint32_t> passed;
        if (const auto flow = network.flow(a, b)) {
          for (const Current& current : flow->currents) passed.insert(*network.block(current.resistor));
        }
        const std::vector<std::uint32_t> between = network.blocks_between(a, b);
        CHECK(between.size() == passed.size());
        CHECK(std::set<std::uint32_t>(between.begin(), between.end()) == passed);
      }
    }
  }
}

TEST_CASE("nonsense is refused when the network is made") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinite = std::numeric_limits<double>::infinity();
  CHECK_THROWS_AS(Network(2, {{0, 2, 1}}), std::invalid_argument);
  CHECK_THROWS_AS(Network(2, {{4000000000U, 0, 1}}), std::invalid_argument);
  CHECK_THROWS_AS(Network(0, {{0, 0, 1}}), std::invalid_argument);
  for (double ohms : {-1.0, -1e-300, nan, infinite, -infinite}) {
    CHECK_THROWS_AS(Network(2, {{0, 1, ohms}}), std::invalid_argument);
    CHECK_THROWS_AS(Network(2, {{0, 0, ohms}}), std::invalid_argument);
  }
  CHECK(Network(2, {{0, 1, -0.0}}).resistance(0, 1) == 0.0);
  CHECK_NOTHROW(Network(0, {}));
  CHECK(Network(0, {}).all_pairs({}).empty());
}

TEST_CASE("a point or resistor that does not exist is refused when asked for") {
  const Network network(3, {{0, 1, 1}});
  CHECK_THROWS_AS(network.resistance(0, 3), std::out_of_range);
  CHECK_THROWS_AS(network.resistance(3, 0), std::out_of_range);
  CHECK_THROWS_AS(network.flow(3, 3), std::out_of_range);
  CHECK_THROWS_AS(network.connected(0, 3), std::out_of_range);
  CHECK_THROWS_AS(network.component(3), std::out_of_range);
  CHECK_THROWS_AS(network.merged(3), std::out_of_range);
  CHECK_THROWS_AS(network.all_pairs({0, 3}), std::out_of_range);
  CHECK_THROWS_AS(network.block(1), std::out_of_range);
  CHECK_THROWS_AS(network.cut(1), std::out_of_range);
  CHECK_THROWS_AS(network.detour(1), std::out_of_range);
  CHECK_FALSE(network.resistance(0, 2).has_value());
  CHECK_FALSE(network.flow(0, 2).has_value());
}

TEST_CASE("ohms beyond any double's products are refused, the extremes before that keep their digits") {
  for (double ohms : {5e-324, 1e-310, 1e-308, 0.99e-100, 1.01e100, 1.7e308}) {
    CHECK_THROWS_AS(Network(2, {{0, 1, ohms}}), std::invalid_argument);
  }
  Dice dice(58);
  for (int round = 0; round < kRounds / 4; ++round) {
    Shape shape = random_connected(dice, 3 + dice.below(4), dice.below(5));
    constexpr std::array<double, 5> kOhms = {1e-100, 1e-50, 1, 1e50, 1e100};
    for (Resistor& r : shape.resistors) r.ohms = kOhms[dice.below(kOhms.size())];
    const Network network = shape.network();
    const ExactNetwork exact(shape.points, shape.resistors);
    for (std::uint32_t b = 1; b < shape.points; ++b) {
      CHECK(same(network.resistance(0, b), exact.resistance(0, b)));
      CHECK(same(network.flow(0, b)->ohms, exact.resistance(0, b)));
      CHECK(same(network.all_pairs({0, b})[1], exact.resistance(0, b)));
    }
  }
}

// --- Size
// ----------------------------------------------------------------------------------------------------------

constexpr std::uint32_t kMany = 100'000;

TEST_CASE("a chain of a hundred thousand points with loops") {
  Shape chain = path(kMany);  // every tenth stretch of two resistors has a third across it
  for (std::uint32_t i = 0; i + 10 < kMany; i += 10) chain.add(i, i + 2, 2);
  const std::uint32_t loops = (kMany - 2) / 10;
  const Network network = chain.network();
  CHECK_THAT(network.resistance(0, kMany - 1).value(), WithinRel(kMany - 1 - loops, 1e-12));
  const Flow flow = network.flow(kMany - 1, 0).value();
  CHECK_THAT(flow.ohms, WithinRel(kMany - 1 - loops, 1e-12));
  CHECK(flow.currents.size() == chain.resistors.size());
  CHECK_THAT(network.all_pairs({0, kMany - 1})[1].value(), WithinRel(kMany - 1 - loops, 1e-12));
  CHECK(network.cut(5));
  CHECK_FALSE(network.cut(0));
  CHECK(network.detour(0).value() == 3);
}

TEST_CASE("a star of a hundred thousand points") {
  Shape star{kMany, {}};
  for (std::uint32_t i = 1; i < kMany; ++i) star.add(0, i);
  const Network network = star.network();
  CHECK(network.resistance(1, kMany - 1) == 2.0);
  CHECK(network.flow(kMany - 1, 7)->currents.size() == 2);
  CHECK(network.all_pairs({3, 0, kMany - 1})[2] == 2.0);
}

TEST_CASE("one ring, one ladder and one wheel of a hundred thousand points") {
  const Network ring = cycle(kMany).network();
  CHECK_THAT(ring.resistance(0, kMany / 4).value(), WithinRel(kMany * 3.0 / 16, 1e-11));
  CHECK(ring.flow(0, kMany / 4)->currents.size() == kMany);
  CHECK_THAT(ring.detour(17).value(), WithinRel(kMany - 1.0, 1e-11));

  // Far from its ends a strip of squares reads sqrt(3)/3 over a rung: two endless halves of 1 + sqrt 3 less
  // their rung.
  const std::uint32_t half = kMany / 2;
  const Network ladder = grid(2, half).network();
  CHECK_THAT(ladder.resistance(half / 2, half + half / 2).value(), WithinRel(std::sqrt(3.0) / 3, 1e-12));
  CHECK_THAT(ladder.flow(half / 2, half + half / 2)->ohms, WithinRel(std::sqrt(3.0) / 3, 1e-12));

  // A wheel without end reads 1/sqrt 5 from hub to rim.
  CHECK_THAT(wheel(kMany - 1).network().resistance(5, kMany - 1).value(),
             WithinRel(1 / std::sqrt(5.0), 1e-12));
}

TEST_CASE("a hundred thousand zero ohms, parallels and self-loops are one point, one resistor and none") {
  Shape shape{kMany + 1, {}};
  for (std::uint32_t i = kMany - 1; i > 0; --i) shape.add(i, i - 1, 0);
  for (std::uint32_t i = 0; i < kMany; ++i) {
    shape.add(i, kMany, kMany);
    shape.add(i, i, 1);
  }
  const Network network = shape.network();
  CHECK(network.merged(0) == network.merged(kMany - 1));
  CHECK_THAT(network.resistance(0, kMany).value(), WithinRel(1, 1e-11));
  CHECK(network.flow(3, kMany)->currents.size() == kMany);
}

TEST_CASE("a network too interwoven to solve says so") {
  // Rings through all points in random order: nothing cheap can be eliminated.
  Dice dice(57);
  const std::uint32_t n = 30'000;
  Shape tangle{n, {}};
  std::vector<std::uint32_t> order(n);
  std::iota(order.begin(), order.end(), 0U);
  for (int ring = 0; ring < 3; ++ring) {
    for (std::uint32_t i = n - 1; i > 0; --i) std::swap(order[i], order[dice.below(i + 1)]);
    for (std::uint32_t i = 0; i < n; ++i) tangle.add(order[i], order[(i + 1) % n]);
  }
  const Network network = tangle.network();
  CHECK(network.connected(0, n - 1));
  CHECK_THROWS_AS(network.resistance(0, 1), NetworkTooDense);
  CHECK_THROWS_AS(network.flow(0, 1), NetworkTooDense);
  CHECK_THROWS_AS(network.detour(0), NetworkTooDense);
  CHECK_THROWS_AS(network.all_pairs({0, 1}), NetworkTooDense);
}

TEST_CASE("all pairs of blocks too large together are refused, readings of single pairs are not") {
  // A chain of rings, each of which would be allowed alone.
  const std::uint32_t rings = 60;
  const std::uint32_t size = 2000;
  Shape shape{rings * (size - 1) + 1, {}};
  for (std::uint32_t ring = 0; ring < rings; ++ring) {
    const std::uint32_t first = ring * (size - 1);
    for (std::uint32_t i = 0; i < size; ++i) shape.add(first + i, first + (i + 1) % size);
  }
  const Network network = shape.network();
  const double one = (size - 1.0) / size;
  CHECK_THAT(network.resistance(0, shape.points - 1).value(), WithinRel(rings * one, 1e-11));
  CHECK_THROWS_AS(network.all_pairs({0, shape.points - 1}), NetworkTooDense);
}

}  // namespace
}  // namespace lugwise
