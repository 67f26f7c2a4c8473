// What resistance lies between two points of a network of resistors, and where the current goes.
//
// Answers keep their digits however far apart the values are (milliohms beside megohms): connectivity is settled first
// (Boost.Graph connected components), the network is split into blocks at its cut points (Boost.Graph biconnected
// components), and each block is reduced by star-mesh elimination, in which nothing is ever subtracted. A resistor of
// zero ohms makes its two points one. Open is std::nullopt, never a large number.
//
//   Network bridge(4, {{0, 1, 12}, {0, 2, 18}, {1, 2, 6}, {1, 3, 18}, {2, 3, 12}});
//   bridge.resistance(0, 3);   // 102/7
//
// Points and resistors are numbered from 0, as they were given. A *place* is one point, or several that zero ohms make one. A
// *block* is what stays in one piece whichever of its places is cut out: a loop, or loops that share more than a place; or a
// single resistor in no loop, a *cut*. Current between two points passes the blocks on the way one after the other.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <stdexcept>
#include <utility>
#include <vector>

namespace lugwise {

struct Resistor {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  double ohms = 0;
};

// The current in a resistor, from its `a` to its `b`, when one ampere goes in at the first probe and out at the second: less
// than nothing where it goes the other way.
struct Current {
  std::uint32_t resistor = 0;
  double amperes = 0;
};

struct Flow {
  double ohms = 0;  // between the probes: the sum of ohms x amperes squared over all currents
  std::vector<Current>
      currents;  // resistors that carry any, rising; zero-ohm ones have no share and are left out
};

// A stretch of the way between two points: into a block at one of its places, out at another, as merged() numbers them.
struct Stretch {
  std::uint32_t block = 0;
  std::uint32_t from = 0;
  std::uint32_t to = 0;
};

// Thrown where a block is so interwoven that solving it would take more time or memory than we allow ourselves.
class NetworkTooDense : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

// A point or resistor that there is not throws std::out_of_range; blocks and places are those that the network itself has named.
class Network {
 public:
  // Throws std::invalid_argument for a point out of range, and for ohms other than zero or 1e-100 to 1e100.
  Network(std::size_t points, std::vector<Resistor> resistors);

  // The same resistors with other ohms, one for each, without finding the blocks again. Infinite ohms take resistors out of
  // their loops. Throws std::invalid_argument where what was zero does not stay zero, anything else becomes zero, what was
  // connected falls apart, and for ohms that the constructor would not take.
  Network reweighted(const std::vector<double>& ohms) const;

  std::size_t points() const;
  const std::vector<Resistor>& resistors() const { return resistors_; }

  // Points with the same number conduct to each other.
  std::uint32_t component(std::uint32_t point) const;
  bool connected(std::uint32_t a, std::uint32_t b) const { return component(a) == component(b); }

  // Points with the same number are one: joined by resistors of zero ohms.
  std::uint32_t merged(std::uint32_t point) const;

  // The block a resistor lies in; none for a zero-ohm resistor and one with both ends on one point.
  std::optional<std::uint32_t> block(std::uint32_t resistor) const;

  // The blocks that a current between two points passes, whatever the ohms in them; none where open.
  std::vector<std::uint32_t> blocks_between(std::uint32_t a, std::uint32_t b) const;

  // The same with the places at which it goes in and out.
  std::vector<Stretch> way(std::uint32_t a, std::uint32_t b) const;

  // What a block is made of: places, rising, and resistors.
  std::size_t blocks() const;
  std::vector<std::uint32_t> places_in(std::uint32_t block) const;
  std::vector<std::uint32_t> resistors_in(std::uint32_t block) const;

  // The blocks of a component are a tree: the place through which the tree reaches this one from its root; none for the
  // root. `depth` counts blocks to the root.
  std::optional<std::uint32_t> above(std::uint32_t place) const;
  std::uint32_t depth(std::uint32_t place) const;

  // The resistance of a block between two of its places. Throws NetworkTooDense.
  double across(std::uint32_t block, std::uint32_t from, std::uint32_t to) const;

  // Whether losing the resistor parts its two ends. Throws NetworkTooDense where any resistor is of infinite ohms.
  bool cut(std::uint32_t resistor) const;

  // Between two points; none where open. Throws NetworkTooDense.
  std::optional<double> resistance(std::uint32_t a, std::uint32_t b) const;
  std::optional<Flow> flow(std::uint32_t a, std::uint32_t b) const;

  // The resistance between a resistor's two ends without it; none if it is a cut. Throws NetworkTooDense.
  std::optional<double> detour(std::uint32_t resistor) const;

  // All pairs at once, row by row: the resistance, or none where open. Memory grows with the square of the points asked.
  // Throws NetworkTooDense, also where the pairs of all blocks together would take too much memory.
  std::vector<std::optional<double>> all_pairs(const std::vector<std::uint32_t>& points) const {
    return all_pairs(points, points);
  }
  std::vector<std::optional<double>> all_pairs(const std::vector<std::uint32_t>& rows,
                                               const std::vector<std::uint32_t>& columns) const;

 private:
  friend class Course;
  struct Shape;

  void weigh();
  bool parted() const;
  std::vector<double> conducting(std::uint32_t block) const;
  void add_block_pairs(std::uint32_t block, std::vector<double>& pairs) const;

  std::vector<Resistor> resistors_;
  std::shared_ptr<const Shape> shape_;
  std::vector<double> siemens_;  // of all resistors between the same two places
  bool opened_ = false;          // whether any resistor is of infinite ohms
};

// The current between two points, followed at one set of ohms after another: which way it goes, and how its blocks are
// solved, is found once. The answers are those of Network::reweighted and Network::flow.
class Course {
 public:
  // Throws std::invalid_argument where the points are not connected, NetworkTooDense.
  Course(const Network& of, std::uint32_t a, std::uint32_t b);
  Course(Course&&) noexcept;
  ~Course();

  // With the network's own ohms, or those of flow_at() last.
  Flow flow();

  // With these ohms, one for each of the network's resistors. On the way zero stays zero and infinite infinite, and nothing
  // else becomes so: else std::invalid_argument. What is off the way isn't looked at.
  Flow flow_at(const std::vector<double>& ohms);

 private:
  struct Leg;
  // A resistor on the way, and which of all legs' edges it is part of.
  struct Carrier {
    std::uint32_t resistor = 0;
    std::uint32_t edge = 0;
    bool along = false;  // from its a to its b the way the edge goes
    double ohms = 0;
  };

  std::vector<Leg> legs_;
  std::vector<Carrier> carriers_;  // rising
  std::vector<double> siemens_;    // by edge
  std::vector<double> drop_;       // by edge: the volts from its a to its b for one ampere
};

}  // namespace lugwise
