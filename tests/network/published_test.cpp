// Resistances that somebody else worked out: families of networks, solids, tables and textbook examples.
//
// How sure we are of each source is said beside the check:
//   published          we have read the number or formula in the source named
//   from memory        we know the source but could not read it; the number is also computed exactly here
//   computed exactly   no outside number: worked out in fractions, here and once before by other code
// A check against a fraction compares twice: the solver to twelve digits, and the exact reference
// (support/exact_network.h) to the last digit, so that the two cannot drift together.
#include <array>
#include <cmath>
#include <numeric>
#include <string>

#include "shapes.h"
#include "support/catch.h"
#include "support/exact_network.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

class Measured {
 public:
  explicit Measured(const Shape& shape) : network_(shape.network()), exact_(shape.points, shape.resistors) {}

  void reads(std::uint32_t a, std::uint32_t b, std::int64_t numerator, std::int64_t denominator = 1) const {
    const std::int64_t common = std::gcd(numerator, denominator);
    std::string fraction = std::to_string(numerator / common);
    if (denominator != common) fraction += "/" + std::to_string(denominator / common);
    INFO("between " << a << " and " << b);
    CHECK(exact_.fraction(a, b) == fraction);
    CHECK_THAT(network_.resistance(a, b).value(),
               WithinRel(static_cast<double>(numerator) / static_cast<double>(denominator), 1e-12));
  }

 private:
  Network network_;
  ExactNetwork exact_;
};

double sum_over_pairs(const Shape& shape) {
  std::vector<std::uint32_t> all(shape.points);
  std::iota(all.begin(), all.end(), 0U);
  double sum = 0;
  for (const std::optional<double>& ohms : shape.network().all_pairs(all)) sum += ohms.value();
  return sum / 2;
}

double current_in(const Flow& flow, std::uint32_t resistor) {
  for (const Current& current : flow.currents) {
    if (current.resistor == resistor) return current.amperes;
  }
  return 0;
}

// A number as printed, good to half its last digit.
auto printed(double value, double half_a_digit) { return WithinAbs(value, half_a_digit); }

std::int64_t fibonacci(std::int64_t n) {
  std::int64_t a = 0;
  std::int64_t b = 1;
  for (; n > 0; --n) b = std::exchange(a, b) + b;
  return a;
}
std::int64_t lucas(std::int64_t n) { return n == 0 ? 2 : fibonacci(n - 1) + fibonacci(n + 1); }

// Each value by the number of resistors between the points, as {numerator, denominator}.
using ByDistance = std::vector<std::pair<std::int64_t, std::int64_t>>;
void check_by_distance(const Shape& shape, const ByDistance& expected) {
  const Measured measured(shape);
  for (std::uint32_t a = 0; a < shape.points; ++a) {
    const std::vector<std::uint32_t> steps = steps_from(shape, a);
    for (std::uint32_t b = 0; b < a; ++b) {
      REQUIRE(steps[b] <= expected.size());
      measured.reads(a, b, expected[steps[b] - 1].first, expected[steps[b] - 1].second);
    }
  }
}

// --- Families
// ------------------------------------------------------------------------------------------------------

TEST_CASE("along a tree resistances add up") {
  // Published: Levin and Peres, Markov Chains and Mixing Times, 2nd ed., example 9.7.
  Dice dice(1);
  for (std::uint32_t points : {2U, 5U, 17U, 60U}) {
    Shape tree{points, {}};
    for (std::uint32_t i = 1; i < points; ++i) tree.add(dice.below(i), i);
    const Network network = tree.network();
    for (std::uint32_t a = 0; a < points; ++a) {
      const std::vector<std::uint32_t> steps = steps_from(tree, a);
      for (std::uint32_t b = 0; b < points; ++b)
        CHECK(network.resistance(a, b) == static_cast<double>(steps[b]));
    }
  }
}

TEST_CASE("between any two of n points all joined to each other lie 2/n") {
  // From memory: Klein and Randic, J. Math. Chem. 12 (1993) 81-95.
  for (std::uint32_t n = 2; n <= 12; ++n) {
    const Measured measured(complete(n));
    for (std::uint32_t a = 0; a < n; ++a) {
      for (std::uint32_t b = 0; b < a; ++b) measured.reads(a, b, 2, n);
    }
  }
  CHECK_THAT(complete(150).network().resistance(3, 77).value(), WithinRel(2.0 / 150, 1e-12));
}

TEST_CASE("around a ring of n resistors, k apart, lie k(n-k)/n") {
  // From memory: Klein and Randic, J. Math. Chem. 12 (1993) 81-95. It is k and n-k in parallel.
  for (std::uint32_t n : {3U, 4U, 5U, 8U, 13U}) {
    const Measured measured(cycle(n));
    for (std::uint32_t k = 1; k < n; ++k) measured.reads(0, k, k * (n - k), n);
  }
  CHECK_THAT(cycle(5000).network().resistance(100, 1100).value(), WithinRel(800, 1e-12));
}

TEST_CASE("two sides of m and n points: (m+n-1)/(mn) across, 2/n and 2/m within") {
  // From memory, standard; computed exactly for (2,3), (3,3), (2,4), (3,5) once before.
  for (std::uint32_t m = 1; m <= 5; ++m) {
    for (std::uint32_t n = 1; n <= 6; ++n) {
      const Measured measured(complete_bipartite(m, n));
      measured.reads(0, m, m + n - 1, m * n);
      if (m > 1) measured.reads(0, m - 1, 2, n);
      if (n > 1) measured.reads(m, m + n - 1, 2, m);
    }
  }
}

TEST_CASE("wheels and fans follow Fibonacci's and Lucas's numbers") {
  // Bapat and Gupta, Resistance distance in wheels and fans (2009/10): that they are Fibonacci numbers is
  // published (abstract read), the formulas are from memory and computed exactly.
  for (std::int64_t n = 3; n <= 12; ++n) {
    const auto hub = static_cast<std::uint32_t>(n);
    const Measured measured(wheel(hub));
    const std::int64_t below = lucas(2 * n) - 2;
    measured.reads(hub, 0, fibonacci(2 * n), below);
    for (std::int64_t k = 1; k < n; ++k) {
      measured.reads(0, static_cast<std::uint32_t>(k),
                     fibonacci(2 * n) * (2 - lucas(2 * k)) + fibonacci(2 * k) * below, below);
    }
  }
  for (std::int64_t n = 2; n <= 12; ++n) {
    const auto hub = static_cast<std::uint32_t>(n);
    const Measured measured(fan(hub));
    for (std::int64_t i = 1; i <= n; ++i) {
      measured.reads(hub, static_cast<std::uint32_t>(i - 1),
                     fibonacci(2 * (n - i) + 1) * fibonacci(2 * i - 1), fibonacci(2 * n));
    }
  }
}

TEST_CASE("small wheels read as computed exactly") {
  struct Case {
    std::uint32_t n;
    std::int64_t hub, hub_below;
    ByDistance rim;  // 1, 2, .. places along the rim
  };
  const std::vector<Case> cases = {{3, 1, 2, {{1, 2}}},
                                   {4, 7, 15, {{8, 15}, {2, 3}}},
                                   {5, 5, 11, {{6, 11}, {8, 11}}},
                                   {6, 9, 20, {{11, 20}, {3, 4}, {4, 5}}},
                                   {8, 47, 105, {{58, 105}, {16, 21}, {88, 105}, {6, 7}}}};
  for (const Case& c : cases) {
    const Measured measured(wheel(c.n));
    measured.reads(c.n, 0, c.hub, c.hub_below);
    for (std::uint32_t k = 1; k <= c.rim.size(); ++k)
      measured.reads(0, k, c.rim[k - 1].first, c.rim[k - 1].second);
  }
}

TEST_CASE(
    "from the root of an even tree to all of a level: each level's resistance over its number of points") {
  // Published: Levin and Peres, Markov Chains and Mixing Times, 2nd ed., eq. 9.18. The level is joined by
  // zero ohms.
  const std::vector<std::uint32_t> children = {3, 2, 4, 1, 2};
  const std::vector<double> ohms = {5, 0.25, 7, 3, 1000};
  Shape tree{1, {}};
  std::vector<std::uint32_t> level{0};
  double expected = 0;
  for (std::size_t depth = 0; depth < children.size(); ++depth) {
    std::vector<std::uint32_t> next;
    for (std::uint32_t parent : level) {
      for (std::uint32_t child = 0; child < children[depth]; ++child) {
        tree.add(parent, tree.points, ohms[depth]);
        next.push_back(tree.points++);
      }
    }
    level = next;
    expected += ohms[depth] / static_cast<double>(level.size());
    Shape joined = tree;
    for (std::uint32_t point : level) joined.add(point, level.front(), 0);
    CHECK_THAT(joined.network().resistance(0, level.back()).value(), WithinRel(expected, 1e-13));
  }
}

// Sections of one series resistor and one shunt to the common point 0; the first point is 1.
Shape ladder(const std::vector<double>& series, const std::vector<double>& shunt) {
  Shape shape{2, {}};
  for (std::size_t k = 0; k < series.size(); ++k) {
    shape.add(shape.points - 1, shape.points, series[k]);
    shape.add(shape.points++, 0, shunt[k]);
  }
  return shape;
}

TEST_CASE("a ladder of one series and one shunt resistor approaches the golden ratio") {
  // One to nine sections: computed exactly. The limit: published in several lecture notes (read at second
  // hand).
  const ByDistance sections = {{2, 1},     {5, 3},     {13, 8},     {34, 21},    {89, 55},
                               {233, 144}, {610, 377}, {1597, 987}, {4181, 2584}};
  for (std::size_t n = 1; n <= sections.size(); ++n) {
    const std::vector<double> ones(n, 1);
    Measured(ladder(ones, ones)).reads(0, 1, sections[n - 1].first, sections[n - 1].second);
  }
  const std::vector<double> many(200, 1);
  CHECK_THAT(ladder(many, many).network().resistance(0, 1).value(),
             WithinRel((1 + std::sqrt(5.0)) / 2, 1e-13));
}

TEST_CASE("an endless ladder of series R and shunt xR reads R/2 (1 + sqrt(4x + 1))") {
  // Published in several lecture notes (read at second hand).
  for (double r : {0.01, 1.0, 47.0, 1e6}) {
    for (double x : {0.1, 1.0, 2.0, 25.0}) {
      const std::vector<double> series(400, r);
      const std::vector<double> shunt(400, x * r);
      CHECK_THAT(ladder(series, shunt).network().resistance(0, 1).value(),
                 WithinRel(r / 2 * (1 + std::sqrt(4 * x + 1)), 1e-12));
    }
  }
}

TEST_CASE("a ladder of two rails and rungs approaches 1 + sqrt 3") {
  // Published: a puzzle's solution (perplexus 5169) gives Q1 = 3, then (3Q + 2)/(Q + 1),
  // and 2.73205080756888.
  const ByDistance first = {{3, 1}, {11, 4}, {41, 15}, {153, 56}, {571, 209}, {2131, 780}};
  Shape shape{2, {{0, 1, 1}}};  // the rung at the far end
  std::int64_t numerator = 3;
  std::int64_t denominator = 1;
  for (std::size_t section = 0; section < 20; ++section) {
    shape.add(shape.points - 2, shape.points);
    shape.add(shape.points - 1, shape.points + 1);
    shape.points += 2;
    Measured(shape).reads(shape.points - 2, shape.points - 1, numerator, denominator);
    if (section < first.size()) CHECK(std::pair(numerator, denominator) == first[section]);
    const std::int64_t next = 3 * numerator + 2 * denominator;
    denominator += numerator;
    numerator = next / std::gcd(next, denominator);
    denominator /= std::gcd(next, denominator);
    shape.add(shape.points - 2, shape.points - 1);  // the rung between this section and the next
  }
  shape.resistors.pop_back();
  CHECK_THAT(shape.network().resistance(shape.points - 2, shape.points - 1).value(),
             WithinRel(2.73205080756888, 1e-13));
}

TEST_CASE("a ladder whose sections double in resistance") {
  // Published: math.stackexchange 4824174, section k of 2^k ohms in series and in shunt; computed exactly as
  // well.
  const ByDistance sections = {{2, 1}, {9, 5}, {41, 23}, {187, 105}, {853, 479}};
  std::vector<double> ohms;
  for (std::size_t n = 1; n <= sections.size(); ++n) {
    ohms.push_back(std::ldexp(1.0, static_cast<int>(n) - 1));
    Measured(ladder(ohms, ohms)).reads(0, 1, sections[n - 1].first, sections[n - 1].second);
  }
}

TEST_CASE("strips of squares and square grids") {
  // Computed exactly. The 2 x n strip is treated in Cinkir, arXiv 1503.06353, whose formulas we have not
  // read.
  struct Strip {
    std::uint32_t n;
    ByDistance rung_diagonal_rail;  // the end rung; far corners; the ends of one rail
  };
  const std::vector<Strip> strips = {{2, {{3, 4}, {1, 1}, {3, 4}}},
                                     {3, {{11, 15}, {7, 5}, {4, 3}}},
                                     {4, {{41, 56}, {15, 8}, {13, 7}}},
                                     {5, {{153, 209}, {45, 19}, {26, 11}}},
                                     {6, {{571, 780}, {43, 15}, {149, 52}}}};
  for (const Strip& strip : strips) {
    const Measured measured(grid(2, strip.n));
    const std::array<std::uint32_t, 3> far = {strip.n, 2 * strip.n - 1, strip.n - 1};
    for (std::size_t i = 0; i < 3; ++i) {
      measured.reads(0, far[i], strip.rung_diagonal_rail[i].first, strip.rung_diagonal_rail[i].second);
    }
  }
  const ByDistance corners = {{1, 1}, {3, 2}, {13, 7}, {47, 22}};
  for (std::uint32_t n = 2; n <= 5; ++n) {
    Measured(grid(n, n)).reads(0, n * n - 1, corners[n - 2].first, corners[n - 2].second);
  }
}

TEST_CASE("across a square grid lie between (ln n)/2 and 2 ln n") {
  // Published: Levin and Peres, Markov Chains and Mixing Times, 2nd ed., proposition 9.17.
  for (std::uint32_t n = 2; n <= 40; ++n) {
    const double ohms = grid(n, n).network().resistance(0, n * n - 1).value();
    CHECK(ohms >= std::log(n) / 2);
    CHECK(ohms <= 2 * std::log(n));
  }
}

// --- Solids and cages
// ----------------------------------------------------------------------------------------------

TEST_CASE("the Platonic solids, by the number of edges between two corners") {
  // Opposite corners of the cube (5/6) and of the icosahedron (1/2): published, read at second hand in a blog
  // that cites Allen and Liu, Platonic Relationships Among Resistors. The dodecahedron is in Lukovits,
  // Nikolic and Trinajstic, Croat. Chem. Acta 73 (2000) 957-967, whose numbers we have not read. All computed
  // exactly.
  check_by_distance(complete(4), {{1, 2}});
  check_by_distance(generalized_petersen(4, 1), {{7, 12}, {3, 4}, {5, 6}});
  check_by_distance(antiprism(3), {{5, 12}, {1, 2}});
  check_by_distance(icosahedron(), {{11, 30}, {7, 15}, {1, 2}});
  check_by_distance(generalized_petersen(10, 2), {{19, 30}, {9, 10}, {16, 15}, {17, 15}, {7, 6}});
}

TEST_CASE("Petersen's and Heawood's graphs and three houses with three wells") {
  // Computed exactly.
  check_by_distance(generalized_petersen(5, 2), {{3, 5}, {4, 5}});
  check_by_distance(heawood(), {{13, 21}, {6, 7}, {19, 21}});
  check_by_distance(complete_bipartite(3, 3), {{5, 9}, {2, 3}});
}

TEST_CASE("the sum over all pairs of points") {
  // Published: MathWorld, "Kirchhoff Index", table by class (read in a mirrored copy), except where marked.
  const auto check = [](const std::string& name, const Shape& shape, double sum) {
    INFO(name);
    CHECK_THAT(sum_over_pairs(shape), WithinRel(sum, 1e-12));
  };
  for (std::uint32_t n = 1; n <= 6; ++n) check("complete " + std::to_string(n), complete(n), n - 1.0);
  for (std::uint32_t n = 1; n <= 5; ++n) {
    check("bipartite " + std::to_string(n), complete_bipartite(n, n), 4.0 * n - 3);  // 1, 5, 9, 13, 17
  }
  const auto check_class = [&](const std::string& name, std::uint32_t first, auto make,
                               const std::vector<double>& sums) {
    for (std::uint32_t i = 0; i < sums.size(); ++i)
      check(name + " " + std::to_string(first + i), make(first + i), sums[i]);
  };
  check_class("tripartite", 1, [](std::uint32_t n) { return complete_multipartite(3, n); },
              {2, 13.0 / 2, 11, 31.0 / 2, 20, 49.0 / 2});
  check_class("cocktail party", 2, [](std::uint32_t n) { return complete_multipartite(n, 2); },
              {5, 13.0 / 2, 25.0 / 3, 41.0 / 4, 61.0 / 5});
  check_class("ring", 3, cycle, {2, 5, 10, 35.0 / 2, 28, 42});
  check_class("antiprism", 3, antiprism, {13.0 / 2, 290.0 / 21, 551.0 / 22});
  check_class("crown", 3, crown, {35.0 / 2, 58.0 / 3, 271.0 / 12, 131.0 / 5});
  check_class("gear", 3, gear, {18, 69.0 / 2, 1085.0 / 19});
  check_class("grid", 1, [](std::uint32_t n) { return grid(n, n); },
              {0, 5, 69.0 / 2, 884.0 / 7, 11155.0 / 33});
  // Computed exactly, not in the table we read.
  check("icosahedron", icosahedron(), 28);
  check("dodecahedron", generalized_petersen(10, 2), 548.0 / 3);
  check("Petersen", generalized_petersen(5, 2), 33);
  check("Heawood", heawood(), 223.0 / 3);
}

// --- Textbook networks
// ---------------------------------------------------------------------------------------------

// Points 0 (return), 1 (source), 2, 3; resistors 1-2, 1-3, 2-3 (the bridge's own), 2-0, 3-0.
Shape bridge(double r12, double r13, double r23, double r20, double r30) {
  return {4, {{1, 2, r12}, {1, 3, r13}, {2, 3, r23}, {2, 0, r20}, {3, 0, r30}}};
}

TEST_CASE("the textbook's unbalanced bridge, solved there by turning a delta into a star") {
  // Published: Kuphaldt and others, Lessons in Electric Circuits, vol. I ch. 10: 14.571 ohms, 686.27 mA from
  // 10 V, and the currents and drops below. Fractions, other pairs, open and short: computed exactly.
  const Shape shape = bridge(12, 18, 6, 18, 12);
  const Measured measured(shape);
  measured.reads(1, 0, 102, 7);
  measured.reads(0, 2, 306, 35);
  measured.reads(1, 3, 306, 35);
  measured.reads(0, 3, 276, 35);
  measured.reads(1, 2, 276, 35);
  measured.reads(2, 3, 30, 7);

  const Network network = shape.network();
  const Flow flow = network.flow(1, 0).value();
  CHECK_THAT(flow.ohms, printed(14.571, 0.0005));
  const double amperes = 10 / flow.ohms;
  CHECK_THAT(amperes, printed(0.68627, 0.000005));
  const std::array<double, 5> milliamperes = {392.16, 294.12, 98.04, 294.12, 392.16};
  const std::array<double, 5> volts = {4.706, 5.294, 0.58824, 5.294, 4.706};
  const std::array<double, 5> sevenths = {4, 3, 1, 3, 4};  // exactly, for one ampere
  double energy = 0;
  for (std::uint32_t r = 0; r < 5; ++r) {
    const double share = current_in(flow, r);
    CHECK_THAT(share, WithinRel(sevenths[r] / 7, 1e-13));
    CHECK_THAT(1000 * amperes * share, printed(milliamperes[r], 0.005));
    CHECK_THAT(shape.resistors[r].ohms * amperes * share, printed(volts[r], r == 2 ? 5e-6 : 5e-4));
    energy += shape.resistors[r].ohms * share * share;
  }
  CHECK_THAT(energy, WithinRel(102.0 / 7, 1e-13));

  // The bridge resistor open, and shorted.
  CHECK_THAT(Network(4, without(shape.resistors, 2)).resistance(1, 0).value(), WithinRel(15, 1e-13));
  CHECK_THAT(bridge(12, 18, 0, 18, 12).network().resistance(1, 0).value(), WithinRel(14.4, 1e-13));
  // Around it: (12 + 18) and (18 + 12) in parallel.
  CHECK_THAT(network.detour(2).value(), WithinRel(15, 1e-13));
}

TEST_CASE("the textbook's bridge solved by meshes and nodes") {
  // Published: Kuphaldt and others, Lessons in Electric Circuits, vol. I ch. 10: 24 V, 136.092 mA, the
  // voltages and currents below. Fractions and sensitivities: computed exactly.
  const Shape shape = bridge(150, 50, 100, 300, 250);
  const Measured measured(shape);
  measured.reads(1, 0, 6525, 37);
  measured.reads(0, 2, 5700, 37);
  measured.reads(0, 3, 5500, 37);
  measured.reads(1, 2, 2625, 37);
  measured.reads(1, 3, 1525, 37);
  measured.reads(2, 3, 2200, 37);

  const Flow flow = shape.network().flow(1, 0).value();
  const double amperes = 24 / flow.ohms;
  CHECK_THAT(1000 * amperes, printed(136.092, 0.0005));
  const std::array<double, 5> milliamperes = {42.299, 93.793, 16.552, 58.851, 77.241};
  const std::array<double, 5> exactly = {23.0 / 74, 51.0 / 74, 9.0 / 74, 16.0 / 37, 21.0 / 37};
  for (std::uint32_t r = 0; r < 5; ++r) {
    const double share = current_in(flow, r) * (r == 2 ? -1 : 1);
    CHECK_THAT(share, WithinRel(exactly[r], 1e-13));
    CHECK_THAT(1000 * amperes * share, printed(milliamperes[r], 0.0005));
  }
  CHECK_THAT(300 * amperes * current_in(flow, 3), printed(17.655, 0.0005));
  CHECK_THAT(250 * amperes * current_in(flow, 4), printed(19.310, 0.0005));
}

TEST_CASE("the textbook's series-parallel combination") {
  // Published: Kuphaldt and others, Lessons in Electric Circuits, vol. I ch. 7: 198.70 ohms; at 24 V 8.627
  // and 15.37 V, and 86.27, 34.51, 43.92, 76.86 mA. 15300/77: computed exactly.
  const Shape shape{3, {{0, 1, 100}, {0, 1, 250}, {1, 2, 350}, {1, 2, 200}}};
  Measured(shape).reads(0, 2, 15300, 77);
  const Network network = shape.network();
  const Flow flow = network.flow(0, 2).value();
  CHECK_THAT(flow.ohms, printed(198.70, 0.005));
  const double amperes = 24 / flow.ohms;
  CHECK_THAT(amperes * network.resistance(0, 1).value(), printed(8.627, 0.0005));
  CHECK_THAT(amperes * network.resistance(1, 2).value(), printed(15.37, 0.005));
  const std::array<double, 4> milliamperes = {86.27, 34.51, 43.92, 76.86};
  for (std::uint32_t r = 0; r < 4; ++r)
    CHECK_THAT(1000 * amperes * current_in(flow, r), printed(milliamperes[r], 0.005));
}

TEST_CASE("the textbook's node voltages with two sources") {
  // Published: Kuphaldt and others, Lessons in Electric Circuits, vol. I ch. 10: 10 V through 2 ohms to node
  // 1, -4 V through 1 ohm to node 2; 3.809524 and -1.547619 V. Each source as its short-circuit current, 5 A
  // and -4 A.
  const Network network(3, {{1, 0, 2}, {1, 0, 4}, {1, 2, 2.5}, {2, 0, 5}, {2, 0, 1}});
  const double r10 = network.resistance(1, 0).value();
  const double r20 = network.resistance(2, 0).value();
  const double shared = (r10 + r20 - network.resistance(1, 2).value()) / 2;
  CHECK_THAT(5 * r10 - 4 * shared, printed(3.809524, 5e-7));
  CHECK_THAT(5 * shared - 4 * r20, printed(-1.547619, 5e-7));
}

TEST_CASE("the worked example of random walks and electric networks") {
  // Doyle and Snell, Random Walks and Electric Networks (1984), sec. 1.3. Published: the energy 0.8421053,
  // and 0.8421177 of a nearby trial flow. From memory, and computed exactly: the potentials 7/16 and 3/8,
  // current 19/16, escape 19/32.
  const Shape shape{
      4, {{0, 2, 1}, {0, 3, 1}, {2, 1, 1}, {2, 3, 0.5}, {3, 1, 0.5}}};  // a, b, c, d are 0, 1, 2, 3
  Measured(shape).reads(0, 1, 16, 19);
  const Flow flow = shape.network().flow(0, 1).value();
  CHECK_THAT(flow.ohms, printed(0.8421053, 5e-8));
  CHECK(flow.ohms < 0.8421177);
  const double amperes = 1 / flow.ohms;  // from 1 V
  CHECK_THAT(amperes, WithinRel(19.0 / 16, 1e-13));
  CHECK_THAT(1 - amperes * current_in(flow, 0), WithinRel(7.0 / 16, 1e-13));
  CHECK_THAT(1 - amperes * current_in(flow, 1), WithinRel(3.0 / 8, 1e-13));
  CHECK_THAT(amperes / (1 + 1), WithinRel(19.0 / 32, 1e-13));  // a's conductances sum to 2
}

TEST_CASE("the example in the manual of a graph library") {
  // Published: networkx manual, resistance_distance.
  const Shape shape{6, {{1, 2, 1}, {1, 3, 1}, {1, 4, 1}, {3, 4, 1}, {3, 5, 1}, {4, 5, 1}}};
  Measured(shape).reads(1, 3, 5, 8);
}

TEST_CASE("a balanced bridge does not mind its detector, open, shorted or anything between") {
  // Published in words: Kuphaldt and others, Lessons in Electric Circuits, vol. I ch. 8 (Wheatstone's
  // bridge).
  Dice dice(2);
  for (int round = 0; round < 50; ++round) {
    const double r1 = dice.ohms();
    const double r2 = dice.ohms();
    const double ratio = dice.ohms();
    const Shape open{4, {{1, 2, r1}, {2, 0, r2}, {1, 3, r1 * ratio}, {3, 0, r2 * ratio}}};
    const double expected = open.network().resistance(1, 0).value();
    for (double detector : {0.0, 0.001, 1.0, 1e3, 1e7}) {
      Shape bridged = open;
      bridged.add(2, 3, detector);
      CHECK_THAT(bridged.network().resistance(1, 0).value(), WithinRel(expected, 1e-12));
    }
  }
}

}  // namespace
}  // namespace lugwise
