#include "dictionary/dictionary.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "dictionary/inside/region.h"
#include "expectation/corner.h"

namespace lugwise {

using namespace dictionary::inside;
namespace {

constexpr std::uint32_t kNobody = 0xffffffff;

// Larger regions are solved by lib/network, which is slower for few places and far faster for many.
constexpr std::size_t kMostDense = 200;

constexpr Corner kCorners[] = {Corner::Low, Corner::Nominal, Corner::High};

// What a fault does to the resistors: some are gone or worth something else, some are new.
struct Replaced {
  std::uint32_t resistor = 0;
  Corners ohms{};  // kApart: gone
};
struct Added {
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  Corners ohms{};
};
struct Delta {
  std::vector<Replaced> replaced;
  std::vector<Added> added;
  bool empty() const { return replaced.empty() && added.empty(); }
};

double at_least(double ohms) { return std::max(ohms, kLeastOhms); }

std::optional<Ohms> finite(double ohms) { return std::isinf(ohms) ? std::nullopt : std::optional(ohms); }

Found found_of(const Corners& ohms) { return {finite(ohms[0]), finite(ohms[1]), finite(ohms[2])}; }

}  // namespace

struct Chapter::Body {
  Circuit circuit;
  std::vector<PointId> probes;
  std::vector<Corners> ohms;  // of each resistor: the branches, then what modules join
  std::vector<std::vector<std::uint32_t>> branches_of;  // of each element
  std::unique_ptr<const Network> corner[3];  // the first has the modules joined, and all connections
  struct Block {
    std::vector<std::uint32_t> places, resistors;
  };
  std::vector<Block> blocks;
  std::vector<std::uint32_t> up;     // of each point: the one through which the tree reaches it, or kNobody
  std::vector<std::uint32_t> order;  // points, each after the one above it

  // Only for pages, made by the first: the sound ohms from each probe to all points.
  mutable std::vector<Corners> rows;

  const Network& shape() const { return *corner[0]; }
  std::size_t points() const { return circuit.points; }

  void build();
  void tabulate() const;
  Delta delta(const Fault& fault, double size) const;

  // What a fault touches: places and blocks, one connected part of each component that it touches.
  struct Region {
    std::vector<std::uint32_t> places;
    std::vector<std::uint32_t> blocks;
    std::vector<std::uint32_t> roots;  // one place of each component touched
  };
  Region region(const Delta& delta) const;
  std::vector<Corners> solve(const Region& region, const Delta& delta,
                             const std::vector<std::uint32_t>& wanted) const;
};

void Chapter::Body::build() {
  std::vector<Resistor> resistors[3];
  for (std::size_t c = 0; c < 3; ++c) {
    resistors[c] = loose_resistors_at(circuit, kCorners[c]);
    for (Resistor& each : resistors[c]) each.ohms = at_least(each.ohms);
  }
  ohms.resize(circuit.branches.size());
  for (std::size_t i = 0; i < ohms.size(); ++i) {
    for (std::size_t c = 0; c < 3; ++c) ohms[i][c] = resistors[c][i].ohms;
    const std::uint32_t element = circuit.branches[i].element.index;
    if (element == kNoElement) continue;
    if (element >= branches_of.size()) branches_of.resize(element + 1);
    branches_of[element].push_back(static_cast<std::uint32_t>(i));
  }
  for (const std::vector<PointId>& module : circuit.modules) {
    for (std::size_t i = 1; i < module.size(); ++i) {
      resistors[0].push_back({module[0].index, module[i].index, kLeastOhms});
      ohms.push_back({kLeastOhms, kApart, kApart});
    }
  }
  corner[1] = std::make_unique<Network>(circuit.points, std::move(resistors[1]));
  const auto values = [](const std::vector<Resistor>& from) {
    std::vector<double> list;
    for (const Resistor& each : from) list.push_back(each.ohms);
    return list;
  };
  corner[2] = std::make_unique<Network>(corner[1]->reweighted(values(resistors[2])));
  corner[0] = circuit.modules.empty() ? std::make_unique<Network>(corner[1]->reweighted(values(resistors[0])))
                                      : std::make_unique<Network>(circuit.points, std::move(resistors[0]));

  const Network& net = shape();
  for (std::uint32_t b = 0; b < net.blocks(); ++b) blocks.push_back({net.places_in(b), net.resistors_in(b)});
  up.assign(points(), kNobody);
  std::vector<std::uint32_t> depth(points());
  for (std::uint32_t p = 0; p < points(); ++p) {
    up[p] = net.above(p).value_or(kNobody);
    depth[p] = net.depth(p);
    order.push_back(p);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::uint32_t x, std::uint32_t y) { return depth[x] < depth[y]; });
}

void Chapter::Body::tabulate() const {
  if (!rows.empty()) return;
  std::vector<std::uint32_t> from, all;
  for (PointId probe : probes) from.push_back(probe.index);
  for (std::uint32_t p = 0; p < points(); ++p) all.push_back(p);
  rows.assign(from.size() * points(), Corners{kApart, kApart, kApart});
  for (std::size_t c = 0; c < 3; ++c) {
    const auto table = corner[c]->all_pairs(from, all);
    for (std::size_t k = 0; k < table.size(); ++k) {
      if (table[k]) rows[k][c] = *table[k];
    }
  }
}

Delta Chapter::Body::delta(const Fault& fault, double size) const {
  Delta delta;
  if (!acts_in(fault, circuit)) return delta;
  static const std::vector<std::uint32_t> kNothing;
  const auto branches = [&](ElementId element) -> const std::vector<std::uint32_t>& {
    return element.index < branches_of.size() ? branches_of[element.index] : kNothing;
  };
  switch (fault.mode) {
    case Mode::Open:
      for (std::uint32_t b : branches(*fault.element))
        delta.replaced.push_back({b, {kApart, kApart, kApart}});
      break;
    case Mode::High:
      if (is_worn_track(fault)) break;
      for (std::uint32_t b : branches(*fault.element)) {
        // Half a track of a share of nothing has nothing added to it either.
        Corners raised{};
        Branch branch = circuit.branches[b];
        branch.ohms = {branch.ohms.low + size, branch.ohms.nominal + size, branch.ohms.high + size};
        const Circuit one{0, {branch}, {}, {}, {}, {}, {}};
        for (std::size_t c = 0; c < 3; ++c)
          raised[c] = at_least(loose_resistors_at(one, kCorners[c])[0].ohms);
        delta.replaced.push_back({b, raised});
      }
      break;
    case Mode::Value:
      for (std::uint32_t b : branches(*fault.element)) {
        Corners scaled = ohms[b];
        for (double& each : scaled) each = at_least(each * size);
        delta.replaced.push_back({b, scaled});
      }
      break;
    case Mode::Short: {
      if (fault.a == fault.b || !circuit.has(fault.a) || !circuit.has(fault.b)) break;
      if (fault.element && fault.site == Site::Contact && !branches(*fault.element).empty()) break;
      delta.added.push_back(
          {fault.a.index, fault.b.index, {at_least(kShort.low), kShort.nominal, kShort.high}});
      break;
    }
    case Mode::Misplaced:
      for (const Moved& moved : fault.moved) {
        for (std::uint32_t b : branches(moved.element)) {
          // A lead that is bent from one lug to the other is moved at both its ends.
          std::size_t at = 0;
          while (at < delta.replaced.size() && delta.replaced[at].resistor != b) ++at;
          if (at == delta.replaced.size()) {
            delta.replaced.push_back({b, {kApart, kApart, kApart}});
            delta.added.push_back({circuit.branches[b].a.index, circuit.branches[b].b.index, ohms[b]});
          }
          Added& added = delta.added[at];
          (added.a == moved.from.index ? added.a : added.b) = moved.to.index;
        }
      }
      break;
  }
  return delta;
}

Chapter::Body::Region Chapter::Body::region(const Delta& delta) const {
  Region region;
  const Network& net = shape();
  const auto add_block = [&](std::uint32_t block) {
    if (std::find(region.blocks.begin(), region.blocks.end(), block) == region.blocks.end())
      region.blocks.push_back(block);
  };
  // Together the ways from the first place touched in a component to the others hold every way between two of them.
  const auto touch = [&](std::uint32_t point) {
    for (std::uint32_t root : region.roots) {
      if (root == point) return;
      if (!net.connected(root, point)) continue;
      for (const Stretch& stretch : net.way(root, point)) add_block(stretch.block);
      return;
    }
    region.roots.push_back(point);
  };
  for (const Replaced& each : delta.replaced) {
    const Resistor& resistor = net.resistors()[each.resistor];
    touch(resistor.a);
    touch(resistor.b);
  }
  for (const Added& each : delta.added) {
    touch(each.a);
    touch(each.b);
  }
  region.places = region.roots;
  for (std::uint32_t block : region.blocks) {
    for (std::uint32_t place : blocks[block].places) region.places.push_back(place);
  }
  std::sort(region.places.begin(), region.places.end());
  region.places.erase(std::unique(region.places.begin(), region.places.end()), region.places.end());
  return region;
}

// Ohms between the wanted places, row by row, with the fault in its region and nothing else of the circuit.
std::vector<Corners> Chapter::Body::solve(const Region& region, const Delta& delta,
                                          const std::vector<std::uint32_t>& wanted) const {
  const auto seat = [&](std::uint32_t place) {
    return static_cast<std::uint32_t>(std::lower_bound(region.places.begin(), region.places.end(), place) -
                                      region.places.begin());
  };
  struct Ohmic {
    std::uint32_t a, b;
    Corners ohms;
  };
  std::vector<Ohmic> list;
  for (std::uint32_t block : region.blocks) {
    for (std::uint32_t r : blocks[block].resistors) {
      const Resistor& resistor = shape().resistors()[r];
      const auto other = std::find_if(delta.replaced.begin(), delta.replaced.end(),
                                      [&](const Replaced& each) { return each.resistor == r; });
      const Corners& here = other == delta.replaced.end() ? ohms[r] : other->ohms;
      if (here == Corners{kApart, kApart, kApart}) continue;
      list.push_back({seat(resistor.a), seat(resistor.b), here});
    }
  }
  for (const Added& each : delta.added) {
    if (each.a != each.b) list.push_back({seat(each.a), seat(each.b), each.ohms});
  }
  const std::size_t k = wanted.size();
  std::vector<Corners> answer(k * k, Corners{kApart, kApart, kApart});
  if (region.places.size() <= kMostDense) {
    std::vector<Link> links;
    links.reserve(list.size());
    for (const Ohmic& each : list)
      links.push_back({each.a, each.b, {1 / each.ohms[0], 1 / each.ohms[1], 1 / each.ohms[2]}});
    const std::size_t n = region.places.size();
    const std::vector<Corners> table = solve_region(static_cast<std::uint32_t>(n), links);
    for (std::size_t i = 0; i < k; ++i) {
      for (std::size_t j = 0; j < k; ++j) answer[i * k + j] = table[seat(wanted[i]) * n + seat(wanted[j])];
    }
    return answer;
  }
  std::vector<std::uint32_t> seats;
  for (std::uint32_t place : wanted) seats.push_back(seat(place));
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<Resistor> resistors;
    for (const Ohmic& each : list) {
      if (!std::isinf(each.ohms[c])) resistors.push_back({each.a, each.b, each.ohms[c]});
    }
    const Network network(region.places.size(), std::move(resistors));
    for (std::size_t i = 0; i < k; ++i) {
      for (std::size_t j = 0; j < k; ++j) {
        const auto between =
            j < i ? std::optional(answer[j * k + i][c]) : network.resistance(seats[i], seats[j]);
        if (between) answer[i * k + j][c] = *between;
      }
    }
  }
  return answer;
}

Chapter::Chapter(const Circuit& circuit, std::vector<PointId> probes) {
  auto body = std::make_unique<Body>();
  body->circuit = circuit;
  body->probes = std::move(probes);
  body->build();
  body_ = std::move(body);
}

Chapter::~Chapter() = default;
Chapter::Chapter(Chapter&&) noexcept = default;
Chapter& Chapter::operator=(Chapter&&) noexcept = default;

const std::vector<PointId>& Chapter::probes() const { return body_->probes; }

Found Chapter::sound(PointId a, PointId b) const {
  Found entry;
  entry.low = body_->corner[0]->resistance(a.index, b.index);
  entry.nominal = body_->corner[1]->resistance(a.index, b.index);
  entry.high = body_->corner[2]->resistance(a.index, b.index);
  return entry;
}

std::vector<Found> Chapter::sound() const {
  body_->tabulate();
  std::vector<Found> all;
  for (std::size_t i = 0; i < body_->probes.size(); ++i) {
    for (PointId other : body_->probes)
      all.push_back(found_of(body_->rows[i * body_->points() + other.index]));
  }
  return all;
}

bool Chapter::touches(const Fault& fault, PointId a, PointId b) const {
  const Delta delta = body_->delta(fault, 1);
  if (delta.empty() || a == b) return false;
  const Body::Region region = body_->region(delta);
  if (!body_->shape().connected(a.index, b.index)) return region.roots.size() > 1;
  const auto way = body_->shape().way(a.index, b.index);
  return std::any_of(way.begin(), way.end(), [&](const Stretch& stretch) {
    return std::find(region.blocks.begin(), region.blocks.end(), stretch.block) != region.blocks.end();
  });
}

Chapter::Index Chapter::index(const std::vector<Fault>& faults) const {
  Index index;
  index.by_block.resize(body_->blocks.size());
  for (std::uint32_t f = 0; f < faults.size(); ++f) {
    const Delta delta = body_->delta(faults[f], 1);
    if (delta.empty()) continue;
    const Body::Region region = body_->region(delta);
    for (std::uint32_t block : region.blocks) index.by_block[block].push_back(f);
    if (region.roots.size() > 1) index.joining.push_back(f);
  }
  return index;
}

std::vector<std::uint32_t> Chapter::among(const Index& index, PointId a, PointId b) const {
  if (!body_->shape().connected(a.index, b.index)) return index.joining;
  std::vector<std::uint32_t> found;
  for (const Stretch& stretch : body_->shape().way(a.index, b.index)) {
    const auto& here = index.by_block[stretch.block];
    found.insert(found.end(), here.begin(), here.end());
  }
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

Found Chapter::with(const Fault& fault, double size, PointId a, PointId b) const {
  const Delta delta = body_->delta(fault, size);
  if (delta.empty() || a == b) return sound(a, b);
  const Body::Region region = body_->region(delta);
  const Network& net = body_->shape();
  const auto inside = [&](const Stretch& stretch) {
    return std::find(region.blocks.begin(), region.blocks.end(), stretch.block) != region.blocks.end();
  };
  Corners sum{};
  const auto add = [&](const Stretch& stretch) {
    for (std::size_t c = 0; c < 3; ++c) {
      if (std::isinf(sum[c])) continue;
      // With a module's joints the tree of one corner is not that of the others.
      const auto ohms = body_->circuit.modules.empty()
                            ? std::optional(body_->corner[c]->across(stretch.block, stretch.from, stretch.to))
                            : body_->corner[c]->resistance(stretch.from, stretch.to);
      sum[c] = ohms ? sum[c] + *ohms : kApart;
    }
  };
  std::uint32_t from = a.index;
  std::uint32_t to = b.index;
  if (net.connected(from, to)) {
    const std::vector<Stretch> way = net.way(from, to);
    const auto first = std::find_if(way.begin(), way.end(), inside);
    if (first == way.end()) return sound(a, b);
    const auto last = std::find_if(way.rbegin(), way.rend(), inside).base() - 1;
    std::for_each(way.begin(), first, add);
    std::for_each(last + 1, way.end(), add);
    from = first->from;
    to = last->to;
  } else {
    // Each probe as far as the part of its own component that is touched.
    for (std::uint32_t* end : {&from, &to}) {
      const auto root = std::find_if(region.roots.begin(), region.roots.end(),
                                     [&](std::uint32_t each) { return net.connected(each, *end); });
      if (root == region.roots.end()) return {};
      for (const Stretch& stretch : net.way(*end, *root)) {
        if (inside(stretch)) break;
        add(stretch);
        *end = stretch.to;
      }
    }
  }
  const Corners between = body_->solve(region, delta, {from, to})[1];
  for (std::size_t c = 0; c < 3; ++c) sum[c] += between[c];
  return found_of(sum);
}

Page Chapter::page(const Fault& fault, double size) const {
  body_->tabulate();
  Page page;
  page.body_ = body_.get();
  const Delta delta = body_->delta(fault, size);
  if (delta.empty()) return page;
  const Body::Region region = body_->region(delta);
  // Down the trees: a point hangs on the place of the region above it. What has none above it hangs on the highest.
  std::vector<std::uint32_t> gate(body_->points(), kNobody);
  for (std::uint32_t place : region.places) gate[place] = place;
  for (std::uint32_t point : body_->order) {
    if (gate[point] == kNobody && body_->up[point] != kNobody) gate[point] = gate[body_->up[point]];
  }
  std::vector<std::pair<std::uint32_t, std::uint32_t>> tops;  // component, place
  for (std::uint32_t place : region.places) {
    const std::uint32_t component = body_->shape().component(place);
    const auto known =
        std::find_if(tops.begin(), tops.end(), [&](const auto& top) { return top.first == component; });
    if (known == tops.end()) {
      tops.emplace_back(component, place);
    } else if (body_->shape().depth(place) < body_->shape().depth(known->second)) {
      known->second = place;
    }
  }
  const std::size_t n = body_->probes.size();
  std::vector<std::uint32_t> number(body_->points(), Page::kNone);
  std::vector<std::uint32_t> wanted;
  page.gate_.assign(n, Page::kNone);
  page.out_.assign(n, Corners{});
  for (std::size_t i = 0; i < n; ++i) {
    std::uint32_t at = gate[body_->probes[i].index];
    if (at == kNobody) {
      const std::uint32_t component = body_->shape().component(body_->probes[i].index);
      for (const auto& [touched, top] : tops) {
        if (touched == component) at = top;
      }
      if (at == kNobody) continue;
    }
    if (number[at] == Page::kNone) {
      number[at] = static_cast<std::uint32_t>(wanted.size());
      wanted.push_back(at);
    }
    page.gate_[i] = number[at];
    page.out_[i] = body_->rows[i * body_->points() + at];
  }
  page.gates_ = wanted.size();
  page.between_ = body_->solve(region, delta, wanted);
  return page;
}

Found Page::sound(std::size_t i, std::size_t j) const {
  return found_of(body_->rows[i * body_->points() + body_->probes[j].index]);
}

Found Page::operator()(std::size_t i, std::size_t j) const {
  if (!changes(i, j)) return sound(i, j);
  Corners sum = out_[i];
  const Corners& between = between_[gate_[i] * gates_ + gate_[j]];
  for (std::size_t c = 0; c < 3; ++c) sum[c] += between[c] + out_[j][c];
  return found_of(sum);
}

}  // namespace lugwise
