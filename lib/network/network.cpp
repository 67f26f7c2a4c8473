#include "network/network.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/biconnected_components.hpp>
#include <boost/graph/connected_components.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <span>

#include "network/inside/elimination.h"

namespace lugwise {

using namespace network::inside;
namespace {

constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();

// Pairs of points within blocks that we are willing to hold at once: 128 MB.
constexpr std::size_t kMostPairs = 16'000'000;

// Beyond these, products and quotients of conductances leave the range of a double.
constexpr double kLeastOhms = 1e-100;
constexpr double kMostOhms = 1e100;
constexpr const char* kPossible = "ohms must be zero or between 1e-100 and 1e100";
bool possible(double ohms) { return ohms == 0 || (ohms >= kLeastOhms && ohms <= kMostOhms); }

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                    boost::property<boost::edge_index_t, std::uint32_t>>;

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

std::uint32_t find_root(std::vector<std::uint32_t>& parent, std::uint32_t at) {
  while (parent[at] != at) at = parent[at] = parent[parent[at]];
  return at;
}

}  // namespace

// What does not change with the resistors' values. A place is one point, or several that zero ohms make one.
struct Network::Shape {
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
  std::vector<std::uint32_t> depth;   // of each place: blocks to the root
  Lists blocks_at;                    // of each place

  std::size_t places() const { return component.size(); }

  void merge_points(std::size_t points, const std::vector<Resistor>& resistors);
  void merge_resistors(const std::vector<Resistor>& resistors);
  void find_blocks();
  void plant_tree();

  std::vector<Stretch> way(std::uint32_t a, std::uint32_t b) const;
  std::uint32_t seat(std::uint32_t block, std::uint32_t place) const;
};

void Network::Shape::merge_points(std::size_t points, const std::vector<Resistor>& resistors) {
  std::vector<std::uint32_t> roots(points);
  std::iota(roots.begin(), roots.end(), 0U);
  for (const Resistor& r : resistors) {
    if (r.a >= points || r.b >= points)
      throw std::invalid_argument("a resistor's end is not a point of the network");
    if (!possible(r.ohms)) throw std::invalid_argument(kPossible);
    if (r.ohms == 0) roots[find_root(roots, r.a)] = find_root(roots, r.b);
  }
  place.assign(points, kNone);
  std::vector<std::uint32_t> number(points, kNone);
  std::uint32_t places = 0;
  for (std::uint32_t point = 0; point < points; ++point) {
    const std::uint32_t root = find_root(roots, point);
    if (number[root] == kNone) number[root] = places++;
    place[point] = number[root];
  }
  component.assign(places, 0);
}

void Network::Shape::merge_resistors(const std::vector<Resistor>& resistors) {
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
  std::vector<std::pair<std::uint32_t, std::uint32_t>> members;
  members.reserve(keys.size());
  for (const Key& key : keys) {
    if (edges.empty() || edges.back().a != key.a || edges.back().b != key.b)
      edges.push_back({key.a, key.b, 0});
    ++edges.back().count;
    edge_of[key.resistor] = static_cast<std::uint32_t>(edges.size() - 1);
    members.emplace_back(edge_of[key.resistor], key.resistor);
  }
  resistors_of = Lists(edges.size(), members);
}

void Network::Shape::find_blocks() {
  Graph graph(places());
  for (std::uint32_t e = 0; e < edges.size(); ++e) boost::add_edge(edges[e].a, edges[e].b, e, graph);
  boost::connected_components(graph, component.data());
  block_of.assign(edges.size(), kNone);
  const auto index = boost::get(boost::edge_index, graph);
  const auto block_map = boost::make_iterator_property_map(block_of.begin(), index);
  const std::size_t blocks = boost::biconnected_components(graph, block_map);

  std::vector<std::pair<std::uint32_t, std::uint32_t>> edges_in;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> places_in;
  edges_in.reserve(edges.size());
  places_in.reserve(2 * edges.size());
  for (std::uint32_t e = 0; e < edges.size(); ++e) {
    edges_in.emplace_back(block_of[e], e);
    places_in.emplace_back(block_of[e], edges[e].a);
    places_in.emplace_back(block_of[e], edges[e].b);
  }
  std::sort(places_in.begin(), places_in.end());
  places_in.erase(std::unique(places_in.begin(), places_in.end()), places_in.end());
  block_edges = Lists(blocks, edges_in);
  block_places = Lists(blocks, places_in);
  for (auto& [block, place_in] : places_in) std::swap(block, place_in);
  blocks_at = Lists(places(), places_in);
}

void Network::Shape::plant_tree() {
  parent.assign(block_edges.size(), kNone);
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
        parent[b] = at;
        for (std::uint32_t below : block_places[b]) {
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
std::vector<Stretch> Network::Shape::way(std::uint32_t a, std::uint32_t b) const {
  std::vector<Stretch> from_a;
  std::vector<Stretch> from_b;
  while (a != b) {
    if (depth[a] == depth[b] && block_above[a] == block_above[b]) {
      from_a.push_back({block_above[a], a, b});
      break;
    }
    if (depth[a] >= depth[b]) {
      const std::uint32_t up = parent[block_above[a]];
      from_a.push_back({block_above[a], a, up});
      a = up;
    } else {
      const std::uint32_t up = parent[block_above[b]];
      from_b.push_back({block_above[b], up, b});
      b = up;
    }
  }
  from_a.insert(from_a.end(), from_b.rbegin(), from_b.rend());
  return from_a;
}

std::uint32_t Network::Shape::seat(std::uint32_t block, std::uint32_t at) const {
  const auto places_in = block_places[block];
  return static_cast<std::uint32_t>(std::lower_bound(places_in.begin(), places_in.end(), at) -
                                    places_in.begin());
}

// The block as it stands; an edge that conducts nothing is left out.
std::vector<Neighbours> Network::adjacent(std::uint32_t block) const {
  const std::size_t places = shape_->block_places[block].size();
  std::vector<std::pair<std::uint32_t, std::uint32_t>> seats;  // of each edge
  std::vector<std::uint32_t> degree(places, 0);
  for (std::uint32_t e : shape_->block_edges[block]) {
    seats.emplace_back(shape_->seat(block, shape_->edges[e].a), shape_->seat(block, shape_->edges[e].b));
    ++degree[seats.back().first];
    ++degree[seats.back().second];
  }
  std::vector<Neighbours> rows(places);
  for (std::size_t i = 0; i < places; ++i) rows[i].reserve(degree[i] + 1);
  std::size_t next = 0;
  for (std::uint32_t e : shape_->block_edges[block]) {
    const auto [a, b] = seats[next++];
    if (siemens_[e] == 0) continue;
    rows[a].emplace_back(b, siemens_[e]);
    rows[b].emplace_back(a, siemens_[e]);
  }
  return rows;
}

double Network::across(std::uint32_t block, std::uint32_t from, std::uint32_t to) const {
  const auto edges = shape_->block_edges[block];
  if (edges.size() == 1) return 1 / siemens_[edges.front()];
  const std::uint32_t s = shape_->seat(block, from);
  const std::uint32_t t = shape_->seat(block, to);
  return 1 / Elimination(adjacent(block), {s, t}).conductance(s, t);
}

// The resistance across a stretch; `drop` receives, for each edge of the block, the volts from its a to its b for one
// ampere. Points come back one by one, the last eliminated first: a point's potential is the mean of its neighbours'
// by conductance, so its drop to neighbour i is the mean of the drops from the neighbours to i. Carrying drops, not
// potentials, keeps the digits of a milliohm joint beside a megohm track.
double Network::flow_through(std::uint32_t block, std::uint32_t in, std::uint32_t out,
                             std::vector<double>& drop) const {
  const auto block_edges = shape_->block_edges[block];
  if (block_edges.size() == 1) {
    const std::uint32_t e = block_edges.front();
    drop.assign(1, (in == shape_->edges[e].a ? 1 : -1) / siemens_[e]);
    return 1 / siemens_[e];
  }
  const std::uint32_t s = shape_->seat(block, in);
  const std::uint32_t t = shape_->seat(block, out);
  const Elimination elimination(adjacent(block), {s, t});
  const std::vector<Star>& stars = elimination.stars();
  const double ohms = 1 / elimination.conductance(s, t);

  std::vector<std::uint32_t> turn(shape_->block_places[block].size(),
                                  static_cast<std::uint32_t>(stars.size()));
  std::vector<std::vector<double>> drops(stars.size());  // of each star: from its centre to each arm
  for (std::uint32_t k = 0; k < stars.size(); ++k) turn[stars[k].centre] = k;
  const auto between = [&](std::uint32_t from, std::uint32_t to) {
    if (turn[from] == stars.size() && turn[to] == stars.size())
      return from == to ? 0 : from == s ? ohms : -ohms;
    const bool forward = turn[from] < turn[to];
    const std::uint32_t k = forward ? turn[from] : turn[to];
    const Neighbours& arms = stars[k].arms;
    const std::uint32_t other = forward ? to : from;
    const auto arm =
        std::lower_bound(arms.begin(), arms.end(), other,
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
  for (std::uint32_t e : block_edges) {
    const Edge& edge = shape_->edges[e];
    drop.push_back(siemens_[e] == 0 ? 0 : between(shape_->seat(block, edge.a), shape_->seat(block, edge.b)));
  }
  return ohms;
}

// Every pair of a block. Points come back one by one: with p the shares of the star's arms and S its total,
// R(k,x) = 1/S + sum p_j R(j,x) - 1/2 sum p_i p_j R(i,j). The subtraction is harmless: each p_j R(j,x) is at most
// 1/S + R(k,x), and 1/S is at most R(k,x).
std::vector<double> Network::block_pairs(std::uint32_t block) const {
  const std::size_t n = shape_->block_places[block].size();
  std::vector<double> r(n * n, 0);
  if (shape_->block_edges[block].size() == 1) {
    r[1] = r[2] = 1 / siemens_[shape_->block_edges[block].front()];
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

Network::Network(std::size_t points, std::vector<Resistor> resistors) : resistors_(std::move(resistors)) {
  auto shape = std::make_shared<Shape>();
  shape->merge_points(points, resistors_);
  shape->merge_resistors(resistors_);
  shape->find_blocks();
  shape->plant_tree();
  shape_ = std::move(shape);
  weigh();
}

void Network::weigh() {
  siemens_.assign(shape_->edges.size(), 0);
  opened_ = false;
  for (std::uint32_t i = 0; i < resistors_.size(); ++i) {
    opened_ = opened_ || resistors_[i].ohms == HUGE_VAL;
    if (shape_->edge_of[i] != kNone) siemens_[shape_->edge_of[i]] += 1 / resistors_[i].ohms;
  }
}

// Whether any two places that the shape connects no longer are.
bool Network::parted() const {
  std::vector<std::uint32_t> roots(shape_->places());
  std::iota(roots.begin(), roots.end(), 0U);
  for (std::uint32_t e = 0; e < siemens_.size(); ++e) {
    if (siemens_[e] > 0) roots[find_root(roots, shape_->edges[e].a)] = find_root(roots, shape_->edges[e].b);
  }
  return std::any_of(shape_->edges.begin(), shape_->edges.end(),
                     [&](const Edge& edge) { return find_root(roots, edge.a) != find_root(roots, edge.b); });
}

Network Network::reweighted(const std::vector<double>& ohms) const {
  if (ohms.size() != resistors_.size()) throw std::invalid_argument("a value for each resistor is needed");
  Network other = *this;
  for (std::uint32_t i = 0; i < ohms.size(); ++i) {
    if ((ohms[i] == 0) != (resistors_[i].ohms == 0)) {
      throw std::invalid_argument("new ohms must be zero where the old ones are, and only there");
    }
    if (!possible(ohms[i]) && ohms[i] != HUGE_VAL) throw std::invalid_argument(kPossible);
    other.resistors_[i].ohms = ohms[i];
  }
  other.weigh();
  if (other.opened_ && other.parted()) {
    throw std::invalid_argument("without the resistors of infinite ohms the network falls apart");
  }
  return other;
}

std::size_t Network::points() const { return shape_->place.size(); }
std::uint32_t Network::merged(std::uint32_t point) const { return shape_->place.at(point); }
std::uint32_t Network::component(std::uint32_t point) const {
  return shape_->component[shape_->place.at(point)];
}

std::optional<std::uint32_t> Network::block(std::uint32_t resistor) const {
  const std::uint32_t edge = shape_->edge_of.at(resistor);
  if (edge == kNone) return std::nullopt;
  return shape_->block_of[edge];
}

std::vector<std::uint32_t> Network::blocks_between(std::uint32_t a, std::uint32_t b) const {
  std::vector<std::uint32_t> blocks;
  if (!connected(a, b)) return blocks;
  for (const Stretch& stretch : shape_->way(merged(a), merged(b))) blocks.push_back(stretch.block);
  return blocks;
}

std::vector<Stretch> Network::way(std::uint32_t a, std::uint32_t b) const {
  return connected(a, b) ? shape_->way(merged(a), merged(b)) : std::vector<Stretch>{};
}

std::size_t Network::blocks() const { return shape_->block_edges.size(); }

std::vector<std::uint32_t> Network::places_in(std::uint32_t block) const {
  const auto places = shape_->block_places[block];
  return {places.begin(), places.end()};
}

std::vector<std::uint32_t> Network::resistors_in(std::uint32_t block) const {
  std::vector<std::uint32_t> resistors;
  for (std::uint32_t e : shape_->block_edges[block]) {
    const auto of = shape_->resistors_of[e];
    resistors.insert(resistors.end(), of.begin(), of.end());
  }
  return resistors;
}

std::optional<std::uint32_t> Network::above(std::uint32_t place) const {
  const std::uint32_t block = shape_->block_above.at(place);
  return block == kNone ? std::nullopt : std::optional(shape_->parent[block]);
}

std::uint32_t Network::depth(std::uint32_t place) const { return shape_->depth.at(place); }

bool Network::cut(std::uint32_t resistor) const {
  const auto in = block(resistor);
  if (!in || opened_) return !detour(resistor);
  return shape_->block_edges[*in].size() == 1 && shape_->edges[shape_->edge_of[resistor]].count == 1;
}

std::optional<double> Network::resistance(std::uint32_t a, std::uint32_t b) const {
  if (!connected(a, b)) return std::nullopt;
  double ohms = 0;
  for (const Stretch& stretch : shape_->way(merged(a), merged(b))) {
    ohms += across(stretch.block, stretch.from, stretch.to);
  }
  return ohms;
}

std::optional<Flow> Network::flow(std::uint32_t a, std::uint32_t b) const {
  if (!connected(a, b)) return std::nullopt;
  Flow flow;
  std::vector<double> drop;
  for (const Stretch& stretch : shape_->way(merged(a), merged(b))) {
    flow.ohms += flow_through(stretch.block, stretch.from, stretch.to, drop);
    const auto block_edges = shape_->block_edges[stretch.block];
    for (std::size_t i = 0; i < block_edges.size(); ++i) {
      if (drop[i] == 0) continue;
      for (std::uint32_t resistor : shape_->resistors_of[block_edges[i]]) {
        const Resistor& r = resistors_[resistor];
        if (r.ohms == HUGE_VAL) continue;
        const bool along = merged(r.a) == shape_->edges[block_edges[i]].a;
        flow.currents.push_back({resistor, (along ? drop[i] : -drop[i]) / r.ohms});
      }
    }
  }
  std::sort(flow.currents.begin(), flow.currents.end(),
            [](const Current& x, const Current& y) { return x.resistor < y.resistor; });
  return flow;
}

std::optional<double> Network::detour(std::uint32_t resistor) const {
  const auto in = block(resistor);
  const Resistor& r = resistors_[resistor];
  if (!in) {  // its ends are one place: by other resistors, unless it has no ohms itself
    if (r.ohms > 0) return 0.0;
    std::vector<Resistor> rest = resistors_;
    rest.erase(rest.begin() + resistor);
    std::erase_if(rest, [](const Resistor& other) { return other.ohms == HUGE_VAL; });
    return Network(points(), std::move(rest)).resistance(r.a, r.b);
  }
  if (!opened_ && cut(resistor)) return std::nullopt;
  Network without = *this;
  without.resistors_[resistor].ohms = HUGE_VAL;
  without.weigh();
  if (opened_ && without.parted()) return std::nullopt;
  return without.across(*in, merged(r.a), merged(r.b));
}

std::vector<std::optional<double>> Network::all_pairs(const std::vector<std::uint32_t>& rows,
                                                      const std::vector<std::uint32_t>& columns) const {
  std::size_t held = 0;
  for (std::uint32_t b = 0; b < shape_->block_places.size(); ++b) {
    held += shape_->block_places[b].size() * shape_->block_places[b].size();
  }
  if (held > kMostPairs) throw NetworkTooDense("the network's loops are too large for all of their pairs");
  std::vector<std::vector<double>> pairs;
  pairs.reserve(shape_->block_edges.size());
  for (std::uint32_t b = 0; b < shape_->block_edges.size(); ++b) pairs.push_back(block_pairs(b));

  std::vector<std::optional<double>> answer(rows.size() * columns.size());
  std::vector<double> reach(shape_->places());
  std::vector<std::uint32_t> came(shape_->places());
  std::vector<std::uint32_t> queue;
  std::vector<std::uint32_t> ends;
  ends.reserve(columns.size());
  for (std::uint32_t column : columns) ends.push_back(merged(column));
  // Points that are one have the same row.
  std::vector<std::size_t> known(shape_->places(), rows.size());
  for (std::size_t row = 0; row < rows.size(); ++row) {
    const std::uint32_t start = merged(rows[row]);
    const auto row_of = [&](std::size_t of) {
      return answer.begin() + static_cast<std::ptrdiff_t>(of * columns.size());
    };
    if (known[start] < row) {
      std::copy(row_of(known[start]), row_of(known[start] + 1), row_of(row));
      continue;
    }
    known[start] = row;
    reach[start] = 0;
    came[start] = kNone;
    queue.assign(1, start);
    for (std::size_t next = 0; next < queue.size(); ++next) {
      const std::uint32_t at = queue[next];
      for (std::uint32_t b : shape_->blocks_at[at]) {
        if (b == came[at]) continue;
        const auto places_in = shape_->block_places[b];
        const std::size_t n = places_in.size();
        const std::size_t from = n == 2 ? (places_in[0] == at ? 0 : 1) : shape_->seat(b, at);
        for (std::size_t to = 0; to < n; ++to) {
          if (to == from) continue;
          reach[places_in[to]] = reach[at] + pairs[b][from * n + to];
          came[places_in[to]] = b;
          queue.push_back(places_in[to]);
        }
      }
    }
    const std::uint32_t component = shape_->component[start];
    for (std::size_t column = 0; column < columns.size(); ++column) {
      const std::uint32_t end = ends[column];
      if (shape_->component[end] == component) answer[row * columns.size() + column] = reach[end];
    }
  }
  return answer;
}

}  // namespace lugwise
