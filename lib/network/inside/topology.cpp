#include "network/inside/topology.h"

#include <algorithm>
#include <boost/graph/biconnected_components.hpp>
#include <boost/graph/connected_components.hpp>
#include <boost/iterator/counting_iterator.hpp>
#include <boost/property_map/function_property_map.hpp>
#include <stdexcept>

namespace lugwise::network::inside {
namespace {

// The places with their edges in two blocks of memory, as Boost.Graph asks for it: its own adjacency_list takes memory for
// each place and edge apart, which in a large loom costs more time than the search.
class Web {
 public:
  struct End {
    std::uint32_t source = 0;
    std::uint32_t target = 0;
    std::uint32_t edge = 0;
    friend bool operator==(const End& x, const End& y) { return x.edge == y.edge; }
  };
  using Ends = std::vector<End>::const_iterator;

  Web(std::size_t places, const std::vector<Edge>& edges) : first_(places + 1, 0), ends_(2 * edges.size()) {
    for (const Edge& edge : edges) {
      ++first_[edge.a + 1];
      ++first_[edge.b + 1];
    }
    std::partial_sum(first_.begin(), first_.end(), first_.begin());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (std::uint32_t e = 0; e < edges.size(); ++e) {
      ends_[next[edges[e].a]++] = {edges[e].a, edges[e].b, e};
      ends_[next[edges[e].b]++] = {edges[e].b, edges[e].a, e};
    }
  }
  std::size_t places() const { return first_.size() - 1; }
  std::pair<Ends, Ends> ends_at(std::size_t place) const {
    return {ends_.begin() + first_[place], ends_.begin() + first_[place + 1]};
  }

 private:
  std::vector<std::uint32_t> first_;  // of each place's ends
  std::vector<End> ends_;
};

// What Boost.Graph calls on a graph, found by its argument.
std::size_t num_vertices(const Web& web) { return web.places(); }
auto vertices(const Web& web) {
  return std::pair(boost::counting_iterator<std::size_t>(0),
                   boost::counting_iterator<std::size_t>(web.places()));
}
std::pair<Web::Ends, Web::Ends> out_edges(std::size_t place, const Web& web) { return web.ends_at(place); }
std::size_t out_degree(std::size_t place, const Web& web) {
  const auto [first, last] = web.ends_at(place);
  return static_cast<std::size_t>(last - first);
}
std::size_t source(const Web::End& end, const Web&) { return end.source; }
std::size_t target(const Web::End& end, const Web&) { return end.target; }

}  // namespace
}  // namespace lugwise::network::inside

template <>
struct boost::graph_traits<lugwise::network::inside::Web> {
  using vertex_descriptor = std::size_t;
  using edge_descriptor = lugwise::network::inside::Web::End;
  using directed_category = undirected_tag;
  using edge_parallel_category = disallow_parallel_edge_tag;
  struct traversal_category : incidence_graph_tag, vertex_list_graph_tag {};
  using vertices_size_type = std::size_t;
  using degree_size_type = std::size_t;
  using out_edge_iterator = lugwise::network::inside::Web::Ends;
  using vertex_iterator = counting_iterator<std::size_t>;
  static vertex_descriptor null_vertex() { return static_cast<vertex_descriptor>(-1); }
};
template <>
struct boost::graph_traits<const lugwise::network::inside::Web>
    : boost::graph_traits<lugwise::network::inside::Web> {};

namespace lugwise::network::inside {

Topology::Topology(std::size_t points, const std::vector<Resistor>& resistors) {
  merge_points(points, resistors);
  merge_resistors(resistors);
  find_blocks();
  plant_tree();
}

void Topology::merge_points(std::size_t points, const std::vector<Resistor>& resistors) {
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

// Sorted by their places, the lower first: the one counting sort after the other.
void Topology::merge_resistors(const std::vector<Resistor>& resistors) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> by_place;
  by_place.reserve(resistors.size());
  const auto ends = [&](std::uint32_t i) {
    return std::minmax(place[resistors[i].a], place[resistors[i].b]);
  };
  for (std::uint32_t i = 0; i < resistors.size(); ++i) {
    if (const auto [a, b] = ends(i); a != b) by_place.emplace_back(b, i);
  }
  const Lists by_b(places(), by_place);
  by_place.clear();
  for (std::uint32_t b = 0; b < places(); ++b) {
    for (std::uint32_t i : by_b[b]) by_place.emplace_back(ends(i).first, i);
  }
  const Lists by_a(places(), by_place);
  edge_of.assign(resistors.size(), kNone);
  std::vector<std::pair<std::uint32_t, std::uint32_t>> members;
  members.reserve(by_place.size());
  for (std::uint32_t a = 0; a < places(); ++a) {
    for (std::uint32_t i : by_a[a]) {
      const std::uint32_t b = ends(i).second;
      if (edges.empty() || edges.back().a != a || edges.back().b != b) edges.push_back({a, b, 0});
      ++edges.back().count;
      edge_of[i] = static_cast<std::uint32_t>(edges.size() - 1);
      members.emplace_back(edge_of[i], i);
    }
  }
  resistors_of = Lists(edges.size(), members);
}

void Topology::find_blocks() {
  const Web web(places(), edges);
  const boost::typed_identity_property_map<std::size_t> itself;
  const auto by_place = boost::vertex_index_map(itself);
  boost::connected_components(web, boost::make_iterator_property_map(component.begin(), itself), by_place);
  block_of.assign(edges.size(), kNone);
  const auto block_map = boost::make_function_property_map<Web::End, std::uint32_t&>(
      [&](const Web::End& end) -> std::uint32_t& { return block_of[end.edge]; });
  const std::size_t blocks = boost::biconnected_components(web, block_map, by_place);

  std::vector<std::pair<std::uint32_t, std::uint32_t>> edges_in;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> places_in;
  edges_in.reserve(edges.size());
  places_in.reserve(2 * edges.size());
  for (std::uint32_t e = 0; e < edges.size(); ++e) edges_in.emplace_back(block_of[e], e);
  std::vector<std::uint32_t> last_in(blocks, kNone);  // the place last found in each block
  for (std::uint32_t p = 0; p < places(); ++p) {
    const auto [first, last] = web.ends_at(p);
    for (auto end = first; end != last; ++end) {
      const std::uint32_t block = block_of[end->edge];
      if (std::exchange(last_in[block], p) != p) places_in.emplace_back(block, p);
    }
  }
  block_edges = Lists(blocks, edges_in);
  block_places = Lists(blocks, places_in);
  for (auto& [block, place_in] : places_in) std::swap(block, place_in);
  blocks_at = Lists(places(), places_in);
}

void Topology::plant_tree() {
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

std::vector<Stretch> Topology::way(std::uint32_t a, std::uint32_t b) const {
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

std::uint32_t Topology::seat(std::uint32_t block, std::uint32_t at) const {
  return parent[block] == at ? parent_seat[block] : seat_above[at];
}

Seats Topology::seats_of_edges(std::uint32_t block) const {
  Seats seats;
  seats.reserve(block_edges[block].size());
  for (std::uint32_t e : block_edges[block])
    seats.emplace_back(seat(block, edges[e].a), seat(block, edges[e].b));
  return seats;
}

}  // namespace lugwise::network::inside
