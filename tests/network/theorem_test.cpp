// Theorems about every network of resistors, tried on random ones. The source is named beside each.
//
// LP is Levin and Peres, Markov Chains and Mixing Times, 2nd ed., ch. 9, which we have read.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

#include "shapes.h"
#include "support/catch.h"

namespace lugwise {
namespace {

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

constexpr int kRounds = kSlowBuild ? 30 : 300;
constexpr double kRounding = 1e-12;

double ohms_between(const Shape& shape, std::uint32_t a, std::uint32_t b) {
  return shape.network().resistance(a, b).value();
}

std::vector<double> currents_in(const Shape& shape, const Flow& flow) {
  std::vector<double> amperes(shape.resistors.size(), 0);
  for (const Current& current : flow.currents) amperes[current.resistor] = current.amperes;
  return amperes;
}

double energy(const Shape& shape, const std::vector<double>& amperes) {
  double sum = 0;
  for (std::size_t r = 0; r < amperes.size(); ++r) sum += shape.resistors[r].ohms * amperes[r] * amperes[r];
  return sum;
}

// A random network of at most a dozen points, with two different probes.
struct Probed {
  explicit Probed(Dice& dice, std::uint32_t most = 12)
      : shape(random_connected(dice, 3 + dice.below(most - 2), dice.below(10))),
        a(dice.below(shape.points)),
        b((a + 1 + dice.below(shape.points - 1)) % shape.points) {}
  Shape shape;
  std::uint32_t a;
  std::uint32_t b;
};

TEST_CASE("raising one resistance never lowers a reading") {
  // Rayleigh's monotonicity law: published, LP theorem 9.12. In shop words in Kuphaldt and others, Lessons in
  // Electric Circuits, vol. I ch. 7: a failed part moves the total the way it moves itself.
  Dice dice(21);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const double before = ohms_between(probed.shape, probed.a, probed.b);
    Shape raised = probed.shape;
    raised.resistors[dice.below(static_cast<std::uint32_t>(raised.resistors.size()))].ohms *=
        1 + 10 * dice.share();
    CHECK(ohms_between(raised, probed.a, probed.b) >= before * (1 - kRounding));
  }
}

TEST_CASE("another conductor, or two points made one, never raises a reading") {
  // Published: LP corollaries 9.13 and 9.14.
  Dice dice(22);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const double before = ohms_between(probed.shape, probed.a, probed.b);
    for (double ohms : {0.0, 0.001, dice.ohms(), 1e7}) {
      Shape more = probed.shape;
      more.add(dice.below(more.points), dice.below(more.points), ohms);
      CHECK(ohms_between(more, probed.a, probed.b) <= before * (1 + kRounding));
    }
  }
}

TEST_CASE("the current spends the least energy of all flows, and that energy is the resistance") {
  // Thomson's principle: published, LP theorem 9.10. Another flow of one ampere is this one plus any current
  // around a loop; here along a random resistor and back through the network.
  Dice dice(23);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const Network network = probed.shape.network();
    const Flow flow = network.flow(probed.a, probed.b).value();
    const std::vector<double> amperes = currents_in(probed.shape, flow);
    CHECK_THAT(energy(probed.shape, amperes), WithinRel(flow.ohms, kRounding));

    const std::uint32_t r = dice.below(static_cast<std::uint32_t>(probed.shape.resistors.size()));
    const Resistor& resistor = probed.shape.resistors[r];
    if (resistor.a == resistor.b) continue;
    std::vector<double> other = currents_in(probed.shape, network.flow(resistor.a, resistor.b).value());
    other[r] -= 1;  // now it returns, and goes around
    const double strength = 2 * dice.share() - 1;
    for (std::size_t i = 0; i < other.size(); ++i) other[i] = amperes[i] + strength * other[i];
    CHECK(energy(probed.shape, other) >= flow.ohms * (1 - kRounding));
  }
}

TEST_CASE("a random walk from a reaches b before it returns with probability 1 / (c(a) R(a,b))") {
  // Published: LP proposition 9.5. The probability comes from sweeping the chances of success until they
  // settle.
  Dice dice(24);
  int settled = 0;
  for (int round = 0; round < kRounds / 3; ++round) {
    const Probed probed(dice, 8);
    const Shape& shape = probed.shape;
    std::vector<double> total(shape.points, 0);  // siemens at a point; self-loops are steps that stay
    for (const Resistor& r : shape.resistors) {
      total[r.a] += 1 / r.ohms;
      if (r.a != r.b) total[r.b] += 1 / r.ohms;
    }
    std::vector<double> chance(shape.points, 0);  // to be at b before a
    chance[probed.b] = 1;
    const auto after_one_step = [&](std::uint32_t from) {
      double sum = 0;
      for (const Resistor& r : shape.resistors) {
        if (r.a == from) sum += chance[r.b] / r.ohms;
        if (r.b == from && r.a != r.b) sum += chance[r.a] / r.ohms;
      }
      return sum / total[from];
    };
    int sweeps = 0;
    for (double change = 1; change > 1e-15 && sweeps < 200000; ++sweeps) {
      change = 0;
      for (std::uint32_t x = 0; x < shape.points; ++x) {
        if (x == probed.a || x == probed.b) continue;
        const double better = after_one_step(x);
        change = std::max(change, std::abs(better - chance[x]));
        chance[x] = better;
      }
    }
    if (sweeps == 200000) continue;  // too stiff to settle
    ++settled;
    const double expected = 1 / (total[probed.a] * ohms_between(shape, probed.a, probed.b));
    CHECK_THAT(after_one_step(probed.a), WithinRel(expected, 1e-6));
  }
  CHECK(settled > kRounds / 4);
}

TEST_CASE("a walk from a to b and back takes twice all conductances times R(a,b) steps") {
  // Commute time: from memory, Chandra and others (1989), Tetali (1991). Hitting times by sweeping, as above.
  Dice dice(25);
  int settled = 0;
  for (int round = 0; round < kRounds / 3; ++round) {
    const Probed probed(dice, 6);
    Shape shape = probed.shape;
    std::erase_if(shape.resistors, [](const Resistor& r) { return r.a == r.b; });
    for (Resistor& r : shape.resistors) r.ohms = 1 + 9 * dice.share();  // mild, so that it settles
    std::vector<double> total(shape.points, 0);
    double all = 0;
    for (const Resistor& r : shape.resistors) {
      total[r.a] += 1 / r.ohms;
      total[r.b] += 1 / r.ohms;
      all += 1 / r.ohms;
    }
    const auto hitting_time = [&](std::uint32_t from, std::uint32_t to) {
      std::vector<double> steps(shape.points, 0);
      for (double change = 1; change > 1e-12;) {
        change = 0;
        for (std::uint32_t x = 0; x < shape.points; ++x) {
          if (x == to) continue;
          double mean = 1;
          for (const Resistor& r : shape.resistors) {
            if (r.a == x) mean += steps[r.b] / r.ohms / total[x];
            if (r.b == x) mean += steps[r.a] / r.ohms / total[x];
          }
          change = std::max(change, std::abs(mean - steps[x]) / mean);
          steps[x] = mean;
        }
      }
      return steps[from];
    };
    const double there_and_back = hitting_time(probed.a, probed.b) + hitting_time(probed.b, probed.a);
    CHECK_THAT(there_and_back, WithinRel(2 * all * ohms_between(shape, probed.a, probed.b), 1e-8));
    ++settled;
  }
  CHECK(settled == kRounds / 3);
}

TEST_CASE("resistance is a distance: nothing to itself, the same both ways, no shorter by a detour") {
  // Published: LP exercise 9.8.
  Dice dice(26);
  for (int round = 0; round < kRounds; ++round) {
    const Shape shape = random_connected(dice, 3 + dice.below(10), dice.below(12));
    const std::uint32_t n = shape.points;
    std::vector<std::uint32_t> all(n);
    std::iota(all.begin(), all.end(), 0U);
    const std::vector<std::optional<double>> table = shape.network().all_pairs(all);
    bool metric = true;
    for (std::uint32_t x = 0; x < n; ++x) {
      metric = metric && table[x * n + x] == 0.0;
      for (std::uint32_t y = 0; y < n; ++y) {
        metric = metric && (x == y || *table[x * n + y] > 0);
        metric = metric && std::abs(*table[x * n + y] - *table[y * n + x]) <= kRounding * *table[x * n + y];
        for (std::uint32_t z = 0; z < n; ++z) {
          metric = metric && *table[x * n + y] <= (*table[x * n + z] + *table[z * n + y]) * (1 + kRounding);
        }
      }
    }
    CHECK(metric);
  }
}

TEST_CASE("a reading is concave in the resistances") {
  // Published: LP exercise 9.6.
  Dice dice(27);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    Shape other = probed.shape;
    for (Resistor& r : other.resistors) r.ohms = dice.ohms();
    const double t = dice.share();
    Shape mixed = probed.shape;
    for (std::size_t r = 0; r < mixed.resistors.size(); ++r) {
      mixed.resistors[r].ohms = (1 - t) * probed.shape.resistors[r].ohms + t * other.resistors[r].ohms;
    }
    const double mean = (1 - t) * ohms_between(probed.shape, probed.a, probed.b) +
                        t * ohms_between(other, probed.a, probed.b);
    CHECK(ohms_between(mixed, probed.a, probed.b) >= mean * (1 - kRounding));
  }
}

TEST_CASE("the conductance between the probes is concave in the conductances") {
  // Dirichlet's principle makes it a least value of linear functions; LP exercise 9.9, which we have read, is
  // about it.
  Dice dice(28);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    Shape other = probed.shape;
    for (Resistor& r : other.resistors) r.ohms = dice.ohms();
    const double t = dice.share();
    Shape mixed = probed.shape;
    for (std::size_t r = 0; r < mixed.resistors.size(); ++r) {
      mixed.resistors[r].ohms = 1 / ((1 - t) / probed.shape.resistors[r].ohms + t / other.resistors[r].ohms);
    }
    const double mean = (1 - t) / ohms_between(probed.shape, probed.a, probed.b) +
                        t / ohms_between(other, probed.a, probed.b);
    CHECK(1 / ohms_between(mixed, probed.a, probed.b) >= mean * (1 - kRounding));
  }
}

TEST_CASE("cuts that share no resistor bound a reading from below") {
  // Nash-Williams: published, LP proposition 9.16. The cuts lie between the points k and k+1 steps from a
  // probe.
  Dice dice(29);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const std::vector<std::uint32_t> steps = steps_from(probed.shape, probed.a);
    std::vector<double> siemens(steps[probed.b], 0);
    for (const Resistor& r : probed.shape.resistors) {
      const std::uint32_t lower = std::min(steps[r.a], steps[r.b]);
      if (steps[r.a] != steps[r.b] && lower < siemens.size()) siemens[lower] += 1 / r.ohms;
    }
    double bound = 0;
    for (double cut : siemens) bound += 1 / cut;
    CHECK(ohms_between(probed.shape, probed.a, probed.b) >= bound * (1 - kRounding));
  }
}

TEST_CASE("neighbours where every point has d unit resistors read at least 2/(d+1)") {
  // Published: Levin and Peres, Markov Chains and Mixing Times, 2nd ed., ch. 11. Equality in a complete
  // network.
  Dice dice(30);
  for (int round = 0; round < kRounds; ++round) {
    // Rings through all points in random order: each adds two resistors to every point. Parallels are
    // skipped, as the theorem is about simple graphs.
    const std::uint32_t n = 5 + dice.below(10);
    Shape shape{n, {}};
    std::map<std::pair<std::uint32_t, std::uint32_t>, int> times;
    const std::uint32_t rings = 1 + dice.below(2);
    for (std::uint32_t ring = 0; ring < rings; ++ring) {
      std::vector<std::uint32_t> order(n);
      std::iota(order.begin(), order.end(), 0U);
      for (std::uint32_t i = n - 1; i > 0; --i) std::swap(order[i], order[dice.below(i + 1)]);
      for (std::uint32_t i = 0; i < n; ++i) {
        shape.add(order[i], order[(i + 1) % n]);
        ++times[std::minmax(order[i], order[(i + 1) % n])];
      }
    }
    if (std::any_of(times.begin(), times.end(), [](const auto& pair) { return pair.second > 1; })) continue;
    const Network network = shape.network();
    for (const Resistor& r : shape.resistors) {
      CHECK(network.resistance(r.a, r.b).value() >= 2.0 / (2 * rings + 1) * (1 - kRounding));
    }
  }
}

TEST_CASE("the shares R/r of all resistors add up to the points less one for each component") {
  // R. M. Foster (1949): statement from memory, history read in Cinkir, arXiv 0907.3770.
  Dice dice(31);
  for (int round = 0; round < kRounds; ++round) {
    const std::uint32_t points = 2 + dice.below(30);
    Shape shape{points, {}};
    for (std::uint32_t i = dice.below(60); i > 0; --i) {
      shape.add(dice.below(points), dice.below(points), dice.ohms());
    }
    const Network network = shape.network();
    double sum = 0;
    std::uint32_t components = 0;
    for (const Resistor& r : shape.resistors) sum += network.resistance(r.a, r.b).value() / r.ohms;
    for (std::uint32_t x = 0; x < points; ++x) components = std::max(components, network.component(x) + 1);
    CHECK_THAT(sum, WithinRel(points - components, kRounding) || WithinAbs(points - components, kRounding));
  }
}

TEST_CASE("in a plane network and its dual of reciprocal resistors the two shares of an edge make one") {
  // Published: Furrer, Hungerbuehler and Jantschgi (2018), abstract read. Solids first: 7/12 + 5/12, 19/30 +
  // 11/30.
  CHECK_THAT(ohms_between(generalized_petersen(4, 1), 0, 1) + ohms_between(antiprism(3), 0, 1),
             WithinRel(1, 1e-13));
  CHECK_THAT(ohms_between(generalized_petersen(10, 2), 0, 1) + ohms_between(icosahedron(), 0, 1),
             WithinRel(1, 1e-13));

  Dice dice(32);
  for (int round = 0; round < kRounds / 3; ++round) {
    const std::uint32_t rows = 2 + dice.below(4);
    const std::uint32_t columns = 2 + dice.below(4);
    Shape shape = grid(rows, columns);
    for (Resistor& r : shape.resistors) r.ohms = dice.ohms();
    const std::uint32_t outside = (rows - 1) * (columns - 1);
    Shape dual{outside + 1, {}};
    const auto face = [&](std::uint32_t row, std::uint32_t column) {  // wraps below zero: outside as well
      return row < rows - 1 && column < columns - 1 ? row * (columns - 1) + column : outside;
    };
    for (const Resistor& r : shape.resistors) {
      const std::uint32_t row = r.a / columns;
      const std::uint32_t column = r.a % columns;
      const bool along_row = r.b == r.a + 1;
      dual.add(face(row, column), along_row ? face(row - 1, column) : face(row, column - 1), 1 / r.ohms);
    }
    const Network network = shape.network();
    const Network dual_network = dual.network();
    for (std::size_t i = 0; i < shape.resistors.size(); ++i) {
      const Resistor& r = shape.resistors[i];
      const Resistor& d = dual.resistors[i];
      CHECK_THAT(
          network.resistance(r.a, r.b).value() / r.ohms + dual_network.resistance(d.a, d.b).value() / d.ohms,
          WithinRel(1, kRounding));
    }
  }
}

TEST_CASE("in a distance-regular network no reading is over 195/101 of a neighbour's") {
  // Published: Koolen and Markowsky, arXiv 1303.5147, abstract read. Degree three or more.
  for (const Shape& shape : {complete(4), generalized_petersen(4, 1), antiprism(3), icosahedron(),
                             generalized_petersen(10, 2), generalized_petersen(5, 2), heawood(),
                             complete_bipartite(3, 3), complete_multipartite(4, 2), crown(5)}) {
    const Network network = shape.network();
    const double neighbour = network.resistance(shape.resistors[0].a, shape.resistors[0].b).value();
    for (std::uint32_t x = 1; x < shape.points; ++x) {
      CHECK(network.resistance(0, x).value() <= 195.0 / 101 * neighbour);
    }
  }
}

TEST_CASE("a small change of a resistance moves a reading by the square of its current") {
  // Cohn, Proc. AMS 1 (1950) 316-324: from memory. Against a central difference.
  Dice dice(33);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const std::vector<double> amperes =
        currents_in(probed.shape, probed.shape.network().flow(probed.a, probed.b).value());
    const std::uint32_t r = dice.below(static_cast<std::uint32_t>(amperes.size()));
    const double step = probed.shape.resistors[r].ohms * 1e-4;
    Shape more = probed.shape;
    Shape less = probed.shape;
    more.resistors[r].ohms += step;
    less.resistors[r].ohms -= step;
    const double high = ohms_between(more, probed.a, probed.b);
    const double low = ohms_between(less, probed.a, probed.b);
    CHECK_THAT((high - low) / (2 * step), WithinRel(amperes[r] * amperes[r], 1e-6) ||
                                              WithinAbs(amperes[r] * amperes[r], 1e-14 * high / step));
  }
}

TEST_CASE("sensitivities of the textbook bridges") {
  // Computed exactly from the published currents (Kuphaldt and others, Lessons in Electric Circuits, vol. I
  // ch. 10).
  struct Case {
    Shape shape;
    std::array<double, 5> squares;
  };
  const std::vector<Case> cases = {{{4, {{1, 2, 12}, {1, 3, 18}, {2, 3, 6}, {2, 0, 18}, {3, 0, 12}}},
                                    {16.0 / 49, 9.0 / 49, 1.0 / 49, 9.0 / 49, 16.0 / 49}},
                                   {{4, {{1, 2, 150}, {1, 3, 50}, {2, 3, 100}, {2, 0, 300}, {3, 0, 250}}},
                                    {529.0 / 5476, 2601.0 / 5476, 81.0 / 5476, 256.0 / 1369, 441.0 / 1369}}};
  for (const Case& c : cases) {
    const Flow flow = c.shape.network().flow(1, 0).value();
    REQUIRE(flow.currents.size() == 5);
    for (std::uint32_t r = 0; r < 5; ++r) {
      CHECK_THAT(flow.currents[r].amperes * flow.currents[r].amperes, WithinRel(c.squares[r], 1e-13));
    }
  }
}

TEST_CASE("changes of any size: raised, opened, shorted, bridged") {
  // Sherman and Morrison's rank-one change: from memory, standard algebra. With i the current in a resistor
  // of r ohms and d the way around it: raised by x, R + x i^2 / (1 + x / (r + d)); opened, R + i^2 (r + d);
  // and with v the drop between any two points, s ohms put across them give R - v^2 / (s + their resistance).
  Dice dice(34);
  for (int round = 0; round < kRounds; ++round) {
    const Probed probed(dice);
    const Network network = probed.shape.network();
    const Flow flow = network.flow(probed.a, probed.b).value();
    const std::vector<double> amperes = currents_in(probed.shape, flow);
    for (std::uint32_t r = 0; r < amperes.size(); ++r) {
      const double own = probed.shape.resistors[r].ohms;
      const std::optional<double> detour = network.detour(r);
      const double square = amperes[r] * amperes[r];
      const double more = dice.ohms();
      Shape raised = probed.shape;
      raised.resistors[r].ohms += more;
      const double expected = flow.ohms + more * square / (detour ? 1 + more / (own + *detour) : 1);
      CHECK_THAT(ohms_between(raised, probed.a, probed.b), WithinRel(expected, 1e-11));

      Shape opened = probed.shape;
      opened.resistors.erase(opened.resistors.begin() + r);
      const std::optional<double> left = opened.network().resistance(probed.a, probed.b);
      if (detour) {
        CHECK_THAT(left.value(), WithinRel(flow.ohms + square * (own + *detour), 1e-11));
      } else if (square > 0) {
        CHECK(!left);  // a cut between the probes
      } else {
        CHECK_THAT(left.value(), WithinRel(flow.ohms, 1e-11));
      }
    }
    const std::uint32_t x = dice.below(probed.shape.points);
    const std::uint32_t y = dice.below(probed.shape.points);
    const auto ohms = [&](std::uint32_t p, std::uint32_t q) { return network.resistance(p, q).value(); };
    const double drop = (ohms(probed.a, y) + ohms(probed.b, x) - ohms(probed.a, x) - ohms(probed.b, y)) / 2;
    for (double across : {0.0, dice.ohms()}) {
      if (x == y) continue;
      Shape shorted = probed.shape;
      shorted.add(x, y, across);
      CHECK_THAT(ohms_between(shorted, probed.a, probed.b),
                 WithinRel(flow.ohms - drop * drop / (across + ohms(x, y)), 1e-10) ||
                     WithinAbs(flow.ohms - drop * drop / (across + ohms(x, y)), 1e-10));
    }
  }
}

}  // namespace
}  // namespace lugwise
