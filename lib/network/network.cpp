#include "network/network.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/biconnected_components.hpp>
#include <boost/graph/connected_components.hpp>
#include <cmath>
#include <limits>
#include <numeric>

#include "network/elimination.h"

namespace lugwise {
namespace {

constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

// Pairs of points within blocks that we are willing to hold at once: 128 MB.
constexpr std::size_t kMostPairs = 16'000'000;

// Beyond these, products and quotients of conductances leave the range of a double.
constexpr double kLeastOhms = 1e-100;
constexpr double kMostOhms = 1e100;

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                    boost::property<boost::edge_index_t, std::uint32_t>>;

// All resistors between the same two places, as one.
struct Edge {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  double siemens = 0;
  std::uint32_t count = 0;
};

struct Block {
  std::vector<std::uint32_t> edges;
  std::vector<std::uint32_t> places;  // rising
  std::uint32_t parent = kNone;       // the place through which the tree of blocks reaches it
};

// A stretch of the way between the probes: into a block at one place, out at another.
struct Stretch {
  std::uint32_t block = 0;
  std::uint32_t from = 0;
  std::uint32_t to = 0;
};

std::uint32_t find_root(std::vector<std::uint32_t>& parent, std::uint32_t at) {
  while (parent[at] != at) at = parent[at] = parent[parent[at]];
  return at;
}

}  // namespace

// A place is one point, or several that zero ohms make one.
struct Network::Parts {
  std::vector<Resistor> resistors;
  std::vector<std::uint32_t> place;      // of each point
  std::vector<std::uint32_t> component;  // of each place
  std::vector<Edge> edges;
  std::vector<std::uint32_t> edge_of;   // of each resistor, or kNone
  std::vector<std::uint32_t> block_of;  // of each edge
  std::vector<Block> blocks;
  std::vector<std::uint32_t> block_above;             // of each place: the block towards the root, or kNone
  std::vector<std::uint32_t> depth;                   // of each place: blocks to the root
  std::vector<std::vector<std::uint32_t>> blocks_at;  // of each place

  std::size_t places() const { return component.size(); }

  void merge_points(std::size_t points);
  void merge_resistors();
  void find_blocks();
  void plant_tree();

  std::vector<Stretch> way(std::uint32_t a, std::uint32_t b) const;
  std::uint32_t seat(const Block& block, std::uint32_t place) const;
  std::vector<Neighbours> adjacent(const Block& block, std::uint32_t without = kNone) const;
  double across(const Stretch& stretch) const;
  double flow_through(const Stretch& stretch, std::vector<double>& drop) const;
  std::vector<double> block_pairs(const Block& block) const;
};

void Network::Parts::merge_points(std::size_t points) {
  std::vector<std::uint32_t> parent(points);
  std::iota(parent.begin(), parent.end(), 0U);
  for (const Resistor& r : resistors) {
    if (r.a >= points || r.b >= points) throw std::invalid_argument("a resistor's end is not a point of the network");
    if (r.ohms != 0 && !(r.ohms >= kLeastOhms && r.ohms <= kMostOhms)) {
      throw std::invalid_argument("ohms must be zero or between 1e-100 and 1e100");
    }
    if (r.ohms == 0) parent[find_root(parent, r.a)] = find_root(parent, r.b);
  }
  place.assign(points, kNone);
  std::vector<std::uint32_t> number(points, kNone);
  std::uint32_t places = 0;
  for (std::uint32_t point = 0; point < points; ++point) {
    const std::uint32_t root = find_root(parent, point);
    if (number[root] == kNone) number[root] = places++;
    place[point] = number[root];
  }
  component.assign(places, 0);
}

void Network::Parts::merge_resistors() {
  struct Key {
    std::uint32_t a, b, resistor;
  };
  std::vector<Key> keys;
  keys.reserve(resistors.size());
  for (std::uint32_t i = 0; i < resistors.size(); ++i) {
    const auto [a, b] = std::minmax(place[resistors[i].a], place[resistors[i].b]);
    if (a != b) keys.push_back({a, b, i});
  }
  std::sort(keys.begin(), keys.end(), [](const Key& x, const Key& y) {
    return std::tie(x.a, x.b, x.resistor) < std::tie(y.a, y.b, y.resistor);
  });
  edge_of.assign(resistors.size(), kNone);
  for (const Key& key : keys) {
    if (edges.empty() || edges.back().a != key.a || edges.back().b != key.b) edges.push_back({key.a, key.b, 0, 0});
    edges.back().siemens += 1 / resistors[key.resistor].ohms;
    ++edges.back().count;
    edge_of[key.resistor] = static_cast<std::uint32_t>(edges.size() - 1);
  }
}

void Network::Parts::find_blocks() {
  Graph graph(places());
  for (std::uint32_t e = 0; e < edges.size(); ++e) boost::add_edge(edges[e].a, edges[e].b, e, graph);
  boost::connected_components(graph, component.data());
  block_of.assign(edges.size(), kNone);
  const auto index = boost::get(boost::edge_index, graph);
  const auto block_map = boost::make_iterator_property_map(block_of.begin(), index);
  blocks.resize(boost::biconnected_components(graph, block_map));
  for (std::uint32_t e = 0; e < edges.size(); ++e) {
    Block& block = blocks[block_of[e]];
    block.edges.push_back(e);
    block.places.push_back(edges[e].a);
    block.places.push_back(edges[e].b);
  }
  for (Block& block : blocks) {
    std::sort(block.places.begin(), block.places.end());
    block.places.erase(std::unique(block.places.begin(), block.places.end()), block.places.end());
  }
}

void Network::Parts::plant_tree() {
  blocks_at.resize(places());
  for (std::uint32_t b = 0; b < blocks.size(); ++b) {
    for (std::uint32_t place_in : blocks[b].places) blocks_at[place_in].push_back(b);
  }
  block_above.assign(places(), kNone);
  depth.assign(places(), kNone);
  std::vector<std::uint32_t> queue;
  for (std::uint32_t root = 0; root < places(); ++root) {
    if (depth[root] != kNone) continue;
    depth[root] = 0;
    queue.assign(1, root);
    for (std::size_t next = 0; next < queue.size(); ++next) {
      const std::uint32_t at = queue[next];
      for (std::uint32_t b : blocks_at[at]) {
        if (b == block_above[at]) continue;
        blocks[b].parent = at;
        for (std::uint32_t below : blocks[b].places) {
          if (below == at) continue;
          block_above[below] = b;
          depth[below] = depth[at] + 1;
          queue.push_back(below);
        }
      }
    }
  }
}

// The blocks between two connected places, each with where the current goes in and out.
std::vector<Stretch> Network::Parts::way(std::uint32_t a, std::uint32_t b) const {
  std::vector<Stretch> from_a;
  std::vector<Stretch> from_b;
  while (a != b) {
    if (depth[a] == depth[b] && block_above[a] == block_above[b]) {
      from_a.push_back({block_above[a], a, b});
      break;
    }
    if (depth[a] >= depth[b]) {
      const std::uint32_t up = blocks[block_above[a]].parent;
      from_a.push_back({block_above[a], a, up});
      a = up;
    } else {
      const std::uint32_t up = blocks[block_above[b]].parent;
      from_b.push_back({block_above[b], up, b});
      b = up;
    }
  }
  from_a.insert(from_a.end(), from_b.rbegin(), from_b.rend());
  return from_a;
}

std::uint32_t Network::Parts::seat(const Block& block, std::uint32_t at) const {
  return static_cast<std::uint32_t>(std::lower_bound(block.places.begin(), block.places.end(), at) -
                                    block.places.begin());
}

std::vector<Neighbours> Network::Parts::adjacent(const Block& block, std::uint32_t without) const {
  std::vector<Neighbours> rows(block.places.size());
  for (std::uint32_t e : block.edges) {
    const Edge& edge = edges[e];
    double siemens = edge.siemens;
    if (without != kNone && edge_of[without] == e) {
      // Added up again rather than subtracted: the rest may be a millionth of the whole.
      siemens = 0;
      for (std::uint32_t i = 0; i < resistors.size(); ++i) {
        if (i != without && edge_of[i] == e) siemens += 1 / resistors[i].ohms;
      }
      if (siemens == 0) continue;
    }
    const std::uint32_t a = seat(block, edge.a);
    const std::uint32_t b = seat(block, edge.b);
    rows[a].emplace_back(b, siemens);
    rows[b].emplace_back(a, siemens);
  }
  return rows;
}

double Network::Parts::across(const Stretch& stretch) const {
  const Block& block = blocks[stretch.block];
  if (block.edges.size() == 1) return 1 / edges[block.edges.front()].siemens;
  const std::uint32_t s = seat(block, stretch.from);
  const std::uint32_t t = seat(block, stretch.to);
  return 1 / Elimination(adjacent(block), {s, t}).conductance(s, t);
}

// The resistance across a stretch; `drop` receives, for each edge of the block, the volts from its a to its b for one
// ampere. Points come back one by one, the last eliminated first: a point's potential is the mean of its neighbours'
// by conductance, so its drop to neighbour i is the mean of the drops from the neighbours to i. Carrying drops, not
// potentials, keeps the digits of a milliohm joint beside a megohm track.
double Network::Parts::flow_through(const Stretch& stretch, std::vector<double>& drop) const {
  const Block& block = blocks[stretch.block];
  if (block.edges.size() == 1) {
    const Edge& edge = edges[block.edges.front()];
    drop.assign(1, (stretch.from == edge.a ? 1 : -1) / edge.siemens);
    return 1 / edge.siemens;
  }
  const std::uint32_t s = seat(block, stretch.from);
  const std::uint32_t t = seat(block, stretch.to);
  const Elimination elimination(adjacent(block), {s, t});
  const std::vector<Star>& stars = elimination.stars();
  const double ohms = 1 / elimination.conductance(s, t);

  std::vector<std::uint32_t> turn(block.places.size(), static_cast<std::uint32_t>(stars.size()));
  std::vector<std::vector<double>> drops(stars.size());  // of each star: from its centre to each arm
  for (std::uint32_t k = 0; k < stars.size(); ++k) turn[stars[k].centre] = k;
  const auto between = [&](std::uint32_t from, std::uint32_t to) {
    if (turn[from] == stars.size() && turn[to] == stars.size()) return from == to ? 0 : from == s ? ohms : -ohms;
    const bool forward = turn[from] < turn[to];
    const std::uint32_t k = forward ? turn[from] : turn[to];
    const Neighbours& arms = stars[k].arms;
    const std::uint32_t other = forward ? to : from;
    const auto arm = std::lower_bound(arms.begin(), arms.end(), other,
                                      [](const auto& entry, std::uint32_t point) { return entry.first < point; });
    const double volts = drops[k][static_cast<std::size_t>(arm - arms.begin())];
    return forward ? volts : -volts;
  };
  for (std::size_t k = stars.size(); k-- > 0;) {
    const Star& star = stars[k];
    drops[k].assign(star.arms.size(), 0);
    for (std::size_t i = 0; i < star.arms.size(); ++i) {
      double sum = 0;
      for (std::size_t j = 0; j < star.arms.size(); ++j) {
        if (j != i) sum += star.arms[j].second * between(star.arms[j].first, star.arms[i].first);
      }
      drops[k][i] = sum / star.total;
    }
  }
  drop.clear();
  for (std::uint32_t e : block.edges) drop.push_back(between(seat(block, edges[e].a), seat(block, edges[e].b)));
  return ohms;
}

// Every pair of a block. Points come back one by one: with p the shares of the star's arms and S its total,
// R(k,x) = 1/S + sum p_j R(j,x) - 1/2 sum p_i p_j R(i,j). The subtraction is harmless: each p_j R(j,x) is at most
// 1/S + R(k,x), and 1/S is at most R(k,x).
std::vector<double> Network::Parts::block_pairs(const Block& block) const {
  const std::size_t n = block.places.size();
  std::vector<double> r(n * n, 0);
  if (block.edges.size() == 1) {
    r[1] = r[2] = 1 / edges[block.edges.front()].siemens;
    return r;
  }
  const std::uint32_t last = 0;
  const Elimination elimination(adjacent(block), {last});
  std::vector<std::uint32_t> back{last};
  for (std::size_t k = elimination.stars().size(); k-- > 0;) {
    const Star& star = elimination.stars()[k];
    double mean = 0;
    for (std::size_t i = 0; i < star.arms.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        mean += star.arms[i].second / star.total * (star.arms[j].second / star.total) *
                r[star.arms[i].first * n + star.arms[j].first];
      }
    }
    for (std::uint32_t x : back) {
      double ohms = 1 / star.total;
      for (const auto& [arm, siemens] : star.arms) ohms += siemens / star.total * r[arm * n + x];
      ohms -= mean;
      r[star.centre * n + x] = r[x * n + star.centre] = ohms;
    }
    back.push_back(star.centre);
  }
  return r;
}

Network::Network(std::size_t points, std::vector<Resistor> resistors) : parts_(std::make_unique<Parts>()) {
  parts_->resistors = std::move(resistors);
  parts_->merge_points(points);
  parts_->merge_resistors();
  parts_->find_blocks();
  parts_->plant_tree();
}
Network::~Network() = default;
Network::Network(Network&&) noexcept = default;
Network& Network::operator=(Network&&) noexcept = default;

std::size_t Network::points() const { return parts_->place.size(); }
const std::vector<Resistor>& Network::resistors() const { return parts_->resistors; }
std::uint32_t Network::merged(std::uint32_t point) const { return parts_->place.at(point); }
std::uint32_t Network::component(std::uint32_t point) const { return parts_->component[parts_->place.at(point)]; }

std::optional<std::uint32_t> Network::block(std::uint32_t resistor) const {
  const std::uint32_t edge = parts_->edge_of.at(resistor);
  if (edge == kNone) return std::nullopt;
  return parts_->block_of[edge];
}

bool Network::cut(std::uint32_t resistor) const {
  const auto in = block(resistor);
  if (!in) return !detour(resistor);
  return parts_->blocks[*in].edges.size() == 1 && parts_->edges[parts_->edge_of[resistor]].count == 1;
}

std::optional<double> Network::resistance(std::uint32_t a, std::uint32_t b) const {
  if (!connected(a, b)) return std::nullopt;
  double ohms = 0;
  for (const Stretch& stretch : parts_->way(merged(a), merged(b))) ohms += parts_->across(stretch);
  return ohms;
}

std::optional<Flow> Network::flow(std::uint32_t a, std::uint32_t b) const {
  if (!connected(a, b)) return std::nullopt;
  Flow flow;
  std::vector<double> drop;
  std::vector<std::pair<std::uint32_t, double>> edge_drops;
  for (const Stretch& stretch : parts_->way(merged(a), merged(b))) {
    flow.ohms += parts_->flow_through(stretch, drop);
    const Block& block = parts_->blocks[stretch.block];
    for (std::size_t i = 0; i < block.edges.size(); ++i) edge_drops.emplace_back(block.edges[i], drop[i]);
  }
  std::sort(edge_drops.begin(), edge_drops.end());
  for (std::uint32_t i = 0; i < parts_->resistors.size(); ++i) {
    const std::uint32_t edge = parts_->edge_of[i];
    if (edge == kNone) continue;
    const auto found = std::lower_bound(edge_drops.begin(), edge_drops.end(), std::make_pair(edge, -HUGE_VAL));
    if (found == edge_drops.end() || found->first != edge || found->second == 0) continue;
    const Resistor& r = parts_->resistors[i];
    const bool along = merged(r.a) == parts_->edges[edge].a;
    flow.currents.push_back({i, (along ? found->second : -found->second) / r.ohms});
  }
  return flow;
}

std::optional<double> Network::detour(std::uint32_t resistor) const {
  const auto in = block(resistor);
  const Resistor& r = parts_->resistors[resistor];
  if (!in) {  // its ends are one place: by other resistors, unless it has no ohms itself
    if (r.ohms > 0) return 0.0;
    std::vector<Resistor> rest = parts_->resistors;
    rest.erase(rest.begin() + resistor);
    return Network(points(), std::move(rest)).resistance(r.a, r.b);
  }
  if (cut(resistor)) return std::nullopt;
  const Block& block = parts_->blocks[*in];
  const std::uint32_t s = parts_->seat(block, merged(r.a));
  const std::uint32_t t = parts_->seat(block, merged(r.b));
  return 1 / Elimination(parts_->adjacent(block, resistor), {s, t}).conductance(s, t);
}

std::vector<std::optional<double>> Network::all_pairs(const std::vector<std::uint32_t>& points) const {
  std::size_t held = 0;
  for (const Block& block : parts_->blocks) held += block.places.size() * block.places.size();
  if (held > kMostPairs) throw NetworkTooDense("the network's loops are too large for all of their pairs");
  std::vector<std::vector<double>> pairs;
  pairs.reserve(parts_->blocks.size());
  for (const Block& block : parts_->blocks) pairs.push_back(parts_->block_pairs(block));

  std::vector<std::optional<double>> answer(points.size() * points.size());
  std::vector<double> reach(parts_->places());
  std::vector<std::uint32_t> came(parts_->places());
  std::vector<std::uint32_t> queue;
  for (std::size_t row = 0; row < points.size(); ++row) {
    const std::uint32_t start = merged(points[row]);
    reach[start] = 0;
    came[start] = kNone;
    queue.assign(1, start);
    for (std::size_t next = 0; next < queue.size(); ++next) {
      const std::uint32_t at = queue[next];
      for (std::uint32_t b : parts_->blocks_at[at]) {
        if (b == came[at]) continue;
        const Block& block = parts_->blocks[b];
        const std::size_t n = block.places.size();
        const std::size_t from = parts_->seat(block, at);
        for (std::size_t to = 0; to < n; ++to) {
          if (to == from) continue;
          reach[block.places[to]] = reach[at] + pairs[b][from * n + to];
          came[block.places[to]] = b;
          queue.push_back(block.places[to]);
        }
      }
    }
    const std::uint32_t component = parts_->component[start];
    for (std::size_t column = 0; column < points.size(); ++column) {
      const std::uint32_t end = merged(points[column]);
      if (parts_->component[end] == component) answer[row * points.size() + column] = reach[end];
    }
  }
  return answer;
}

}  // namespace lugwise
