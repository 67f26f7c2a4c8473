// What does not change with the values of a network's resistors: places, edges, blocks and their tree. Private to this room.
#pragma once

#include <cstdint>
#include <limits>
#include <numeric>
#include <span>
#include <utility>
#include <vector>

#include "network/inside/elimination.h"
#include "network/network.h"

namespace lugwise::network::inside {

inline constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

// Beyond these, products and quotients of conductances leave the range of a double.
inline constexpr double kLeastOhms = 1e-100;
inline constexpr double kMostOhms = 1e100;
inline constexpr const char* kPossible = "ohms must be zero or between 1e-100 and 1e100";
inline bool possible(double ohms) { return ohms == 0 || (ohms >= kLeastOhms && ohms <= kMostOhms); }

// All resistors between the same two places, as one.
struct Edge {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::uint32_t count = 0;
};

// Many short lists of numbers in two blocks of memory.
class Lists {
 public:
  // The values of each key in the order given; keys run from 0 to `size` - 1.
  Lists() = default;
  Lists(std::size_t size, const std::vector<std::pair<std::uint32_t, std::uint32_t>>& key_value)
      : start_(size + 1, 0), items_(key_value.size()) {
    for (const auto& [key, value] : key_value) ++start_[key + 1];
    std::partial_sum(start_.begin(), start_.end(), start_.begin());
    std::vector<std::uint32_t> next(start_.begin(), start_.end() - 1);
    for (const auto& [key, value] : key_value) items_[next[key]++] = value;
  }
  std::size_t size() const { return start_.size() - 1; }
  std::span<const std::uint32_t> operator[](std::size_t i) const {
    return {items_.data() + start_[i], items_.data() + start_[i + 1]};
  }

 private:
  std::vector<std::uint32_t> start_{0};
  std::vector<std::uint32_t> items_;
};

// Points joined to one another have one root. As Clusters of the room circuit, which stands above this one.
inline std::uint32_t find_root(std::vector<std::uint32_t>& parent, std::uint32_t at) {
  while (parent[at] != at) at = parent[at] = parent[parent[at]];
  return at;
}

// A place is one point, or several that zero ohms make one.
struct Topology {
  Topology(std::size_t points, const std::vector<Resistor>& resistors);

  std::vector<std::uint32_t> place;      // of each point
  std::vector<std::uint32_t> component;  // of each place
  std::vector<Edge> edges;
  std::vector<std::uint32_t> edge_of;   // of each resistor, or kNone
  Lists resistors_of;                   // of each edge
  std::vector<std::uint32_t> block_of;  // of each edge
  Lists block_edges;
  Lists block_places;  // rising
  std::vector<std::uint32_t>
      block_above;  // of each place: the block towards the root of the tree of blocks, or kNone
  std::vector<std::uint32_t> parent;  // of each block: the place through which the tree reaches it
  std::vector<std::uint32_t> seat_above,
      parent_seat;                   // where a place stands in the block above, and a block's parent in it
  std::vector<std::uint32_t> depth;  // of each place: blocks to the root
  Lists planted;                     // of each component: its blocks, each after the one above it
  Lists blocks_at;                   // of each place

  std::size_t places() const { return component.size(); }

  void merge_points(std::size_t points, const std::vector<Resistor>& resistors);
  void merge_resistors(const std::vector<Resistor>& resistors);
  void find_blocks();
  void plant_tree();

  // The blocks between two connected places, each with where the current goes in and out.
  std::vector<Stretch> way(std::uint32_t a, std::uint32_t b) const;

  // Where a place stands among those of a block; the same of both ends of each of the block's edges.
  std::uint32_t seat(std::uint32_t block, std::uint32_t place) const;
  Seats seats_of_edges(std::uint32_t block) const;
};

}  // namespace lugwise::network::inside
