#include "network/inside/shape.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/biconnected_components.hpp>
#include <boost/graph/connected_components.hpp>
#include <stdexcept>
#include <tuple>

namespace lugwise {

using namespace network::inside;
namespace {

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                                    boost::property<boost::edge_index_t, std::uint32_t>>;

}  // namespace

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
  parent_seat.assign(block_edges.size(), 0);
  block_above.assign(places(), kNone);
  seat_above.assign(places(), 0);
  depth.assign(places(), kNone);
  std::vector<std::pair<std::uint32_t, std::uint32_t>> by_component;
  by_component.reserve(block_edges.size());
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
        by_component.emplace_back(component[root], b);
        std::uint32_t seat = 0;
        for (std::uint32_t below : block_places[b]) {
          if (below == at) {
            parent_seat[b] = seat++;
            continue;
          }
          block_above[below] = b;
          seat_above[below] = seat++;
          depth[below] = depth[at] + 1;
          queue.push_back(below);
        }
      }
    }
  }
  planted =
      Lists(places() == 0 ? 0 : *std::max_element(component.begin(), component.end()) + 1, by_component);
}

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

std::vector<std::pair<std::uint32_t, std::uint32_t>> Network::Shape::seats_of_edges(
    std::uint32_t block) const {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> seats;
  seats.reserve(block_edges[block].size());
  for (std::uint32_t e : block_edges[block])
    seats.emplace_back(seat(block, edges[e].a), seat(block, edges[e].b));
  return seats;
}

}  // namespace lugwise
