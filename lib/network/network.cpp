#include "network/network.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "network/inside/elimination.h"
#include "network/inside/reduction.h"
#include "network/inside/topology.h"

namespace lugwise {

using namespace network::inside;

struct Network::Shape : Topology {};
namespace {

// Pairs of points within blocks that we are willing to hold at once: 128 MB.
constexpr std::size_t kMostPairs = 16'000'000;

}  // namespace

// What the edges of a block conduct.
std::vector<double> Network::conducting(std::uint32_t block) const {
  std::vector<double> siemens;
  siemens.reserve(shape_->block_edges[block].size());
  for (std::uint32_t e : shape_->block_edges[block]) siemens.push_back(siemens_[e]);
  return siemens;
}

double Network::across(std::uint32_t block, std::uint32_t from, std::uint32_t to) const {
  const auto edges = shape_->block_edges[block];
  if (edges.size() == 1) return 1 / siemens_[edges.front()];
  const std::uint32_t s = shape_->seat(block, from);
  const std::uint32_t t = shape_->seat(block, to);
  return 1 / Elimination(shape_->block_places[block].size(), shape_->seats_of_edges(block), conducting(block),
                         {s, t})
                 .conductance(s, t);
}

// Every pair of a block. Points come back one by one: with p the shares of the star's arms and S its total,
// R(k,x) = 1/S + sum p_j R(j,x) - 1/2 sum p_i p_j R(i,j). The subtraction is harmless: each p_j R(j,x) is at most
// 1/S + R(k,x), and 1/S is at most R(k,x).
void Network::add_block_pairs(std::uint32_t block, std::vector<double>& pairs) const {
  const std::size_t n = shape_->block_places[block].size();
  pairs.resize(pairs.size() + n * n, 0);
  double* const r = pairs.data() + pairs.size() - n * n;
  if (shape_->block_edges[block].size() == 1) {
    r[1] = r[2] = 1 / siemens_[shape_->block_edges[block].front()];
    return;
  }
  const std::uint32_t last = 0;
  const Elimination elimination(n, shape_->seats_of_edges(block), conducting(block), {last});
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
}

Network::Network(std::size_t points, std::vector<Resistor> resistors) : resistors_(std::move(resistors)) {
  shape_ = std::make_shared<Shape>(Shape{Topology(points, resistors_)});
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
  return Course(*this, a, b).flow();
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
  std::vector<std::size_t> table(blocks());  // where each block's own pairs begin
  std::vector<double> pairs;
  pairs.reserve(held);
  for (std::uint32_t b = 0; b < blocks(); ++b) {
    table[b] = pairs.size();
    add_block_pairs(b, pairs);
  }

  std::vector<std::optional<double>> answer(rows.size() * columns.size());
  std::vector<double> reach(shape_->places());
  std::vector<std::uint32_t> entry(blocks(),
                                   kNone);  // the place that a row's way goes in by, where not from above
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
    // Up to the root of the tree of blocks, then down from there into all others.
    reach[start] = 0;
    for (std::uint32_t at = start; shape_->block_above[at] != kNone;) {
      const std::uint32_t b = shape_->block_above[at];
      const std::uint32_t up = shape_->parent[b];
      entry[b] = at;
      reach[up] =
          reach[at] +
          pairs[table[b] + shape_->seat_above[at] * shape_->block_places[b].size() + shape_->parent_seat[b]];
      at = up;
    }
    const std::uint32_t component = shape_->component[start];
    for (std::uint32_t b : shape_->planted[component]) {
      const auto places_in = shape_->block_places[b];
      const bool above = entry[b] == kNone;
      const double so_far = reach[above ? shape_->parent[b] : entry[b]];
      const std::size_t seat = above ? shape_->parent_seat[b] : shape_->seat_above[entry[b]];
      const double* further = pairs.data() + table[b] + seat * places_in.size();
      for (std::uint32_t place : places_in) reach[place] = so_far + *further++;
      entry[b] = kNone;
    }
    for (std::size_t column = 0; column < columns.size(); ++column) {
      const std::uint32_t end = ends[column];
      if (shape_->component[end] == component) answer[row * columns.size() + column] = reach[end];
    }
  }
  return answer;
}

// One block of the way: a single edge, or several reduced to where the current goes in and out.
struct Course::Leg {
  std::uint32_t first = 0;  // of the conducting edges of all legs
  bool along = false;       // a single edge's way from its a to its b
  Seats seats;              // of each edge that conducts
  std::optional<Reduction> reduction;
};

Course::Course(const Network& of, std::uint32_t a, std::uint32_t b) {
  if (!of.connected(a, b)) throw std::invalid_argument("no current flows where there is no way");
  const Topology& shape = *of.shape_;
  for (const Stretch& stretch : of.way(a, b)) {
    Leg leg;
    leg.first = static_cast<std::uint32_t>(siemens_.size());
    const auto edges = shape.block_edges[stretch.block];
    const Seats seats = shape.seats_of_edges(stretch.block);
    if (edges.size() == 1) {
      leg.along = stretch.from == shape.edges[edges.front()].a;
    } else {
      leg.reduction.emplace(shape.block_places[stretch.block].size(), seats, of.conducting(stretch.block),
                            shape.seat(stretch.block, stretch.from), shape.seat(stretch.block, stretch.to));
    }
    for (std::size_t i = 0; i < edges.size(); ++i) {
      const std::uint32_t e = edges[i];
      if (of.siemens_[e] == 0) continue;
      const auto edge = static_cast<std::uint32_t>(siemens_.size());
      for (std::uint32_t resistor : shape.resistors_of[e]) {
        const Resistor& r = of.resistors_[resistor];
        carriers_.push_back({resistor, edge, of.merged(r.a) == shape.edges[e].a, r.ohms});
      }
      siemens_.push_back(of.siemens_[e]);
      leg.seats.push_back(seats[i]);
    }
    legs_.push_back(std::move(leg));
  }
  std::sort(carriers_.begin(), carriers_.end(),
            [](const Carrier& x, const Carrier& y) { return x.resistor < y.resistor; });
}

Course::Course(Course&&) noexcept = default;
Course::~Course() = default;

Flow Course::flow() {
  Flow flow;
  drop_.assign(siemens_.size(), 0);
  for (Leg& leg : legs_) {
    if (!leg.reduction) {
      drop_[leg.first] = (leg.along ? 1 : -1) / siemens_[leg.first];
      flow.ohms += 1 / siemens_[leg.first];
      continue;
    }
    flow.ohms += leg.reduction->ohms();
    leg.reduction->carry();
    for (std::size_t i = 0; i < leg.seats.size(); ++i) {
      drop_[leg.first + i] = leg.reduction->drop(leg.seats[i].first, leg.seats[i].second);
    }
  }
  flow.currents.reserve(carriers_.size());
  for (const Carrier& each : carriers_) {
    const double drop = drop_[each.edge];
    if (drop == 0 || each.ohms == HUGE_VAL) continue;
    flow.currents.push_back({each.resistor, (each.along ? drop : -drop) / each.ohms});
  }
  return flow;
}

Flow Course::flow_at(const std::vector<double>& ohms) {
  std::fill(siemens_.begin(), siemens_.end(), 0);
  for (Carrier& each : carriers_) {
    const double now = ohms.at(each.resistor);
    if ((now == HUGE_VAL) != (each.ohms == HUGE_VAL) || !(now > 0) || (now != HUGE_VAL && !possible(now)))
      throw std::invalid_argument(
          "new ohms must be infinite where the old ones are, and only there, and not zero");
    each.ohms = now;
    siemens_[each.edge] += 1 / now;
  }
  for (Leg& leg : legs_) {
    if (leg.reduction) leg.reduction->reweigh(leg.seats, siemens_.data() + leg.first);
  }
  return flow();
}

}  // namespace lugwise
