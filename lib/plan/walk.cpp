#include "plan/walk.h"

#include <algorithm>
#include <cmath>
#include <queue>

#include "expectation/corner.h"

namespace lugwise {
namespace {

bool is_metal(ElementKind kind) {
  return kind == ElementKind::Joint || kind == ElementKind::Blob || kind == ElementKind::Wire ||
         kind == ElementKind::Contact;
}

class Walker {
 public:
  Walker(const Harness& harness, std::optional<std::size_t> stage, const Meter& meter,
         const Temperature& temperature)
      : harness_(harness), meter_(meter) {
    walk_.setting = Setting(harness);
    walk_.access = accesses(harness, stage).back();
    // As it lies when all that can be probed is open.
    circuit_ = circuit_of(harness, {walk_.setting, stage, walk_.access.depth > 0, {}, temperature});
    reached_.assign(harness.points().size(), 0);
    for (PointId point : reachable(harness, stage, walk_.access.depth)) {
      if (circuit_.has(point)) reached_[point.index] = 1;
    }
  }

  std::optional<Walk> walk() {
    const std::optional<PointId> anchor = find_anchor();
    if (!anchor) return std::nullopt;
    walk_.anchor = *anchor;
    grow();
    if (walk_.points.size() < 2) return std::nullopt;
    cut_walk();
    return std::move(walk_);
  }

 private:
  std::optional<PointId> find_anchor() const {
    const auto named = [&](std::string_view end) -> std::optional<PointId> {
      for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
        if (reached_[i] && harness_.points()[i].name.ends_with(end)) return PointId{i};
      }
      return std::nullopt;
    };
    for (const std::string_view end : {".plug-sleeve", ".sleeve", ".bridge", ".case"}) {
      if (const auto point = named(end)) return point;
    }
    return std::nullopt;
  }

  // The way of the least resistance from the anchor to everything that metal joins to it.
  void grow() {
    std::vector<std::vector<std::uint32_t>> arms(circuit_.points);
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      const Branch& branch = circuit_.branches[b];
      if (!is_metal(harness_[branch.element].kind)) continue;
      arms[branch.a.index].push_back(b);
      arms[branch.b.index].push_back(b);
    }
    came_.assign(circuit_.points, ~0U);
    parent_.assign(circuit_.points, ~0U);
    std::vector<double> distance(circuit_.points, HUGE_VAL);
    using Turn = std::pair<double, std::uint32_t>;
    std::priority_queue<Turn, std::vector<Turn>, std::greater<>> turns;
    distance[walk_.anchor.index] = 0;
    turns.emplace(0, walk_.anchor.index);
    while (!turns.empty()) {
      const auto [far, at] = turns.top();
      turns.pop();
      if (far > distance[at]) continue;
      order_.push_back(at);
      for (std::uint32_t b : arms[at]) {
        const Branch& branch = circuit_.branches[b];
        const std::uint32_t next = branch.a.index == at ? branch.b.index : branch.a.index;
        const double there = far + ohms_at(branch, Corner::Nominal);
        if (there >= distance[next]) continue;
        distance[next] = there;
        came_[next] = b;
        parent_[next] = at;
        turns.emplace(there, next);
      }
    }
    for (std::uint32_t at : order_) {
      if (reached_[at]) walk_.points.push_back(PointId{at});
    }
  }

  // Each reading goes to the point farthest along the tree that the ones before leave out, and takes all on its way.
  void cut_walk() {
    // A way round through a coil or a track reads thousands of ohms: only metal hides an open.
    std::vector<Resistor> metal;
    std::vector<std::uint32_t> number(circuit_.branches.size(), ~0U);
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      const Branch& branch = circuit_.branches[b];
      if (!is_metal(harness_[branch.element].kind)) continue;
      number[b] = static_cast<std::uint32_t>(metal.size());
      metal.push_back({branch.a.index, branch.b.index, ohms_at(branch, Corner::Nominal)});
    }
    const Network network(circuit_.points, std::move(metal));
    std::vector<char> proved(circuit_.points, 0);
    proved[walk_.anchor.index] = 1;
    std::vector<char> doubled(circuit_.branches.size(), 0);
    for (std::uint32_t at : order_) {
      if (came_[at] != ~0U && !network.cut(number[came_[at]])) doubled[came_[at]] = 1;
    }
    for (;;) {
      // How much that nothing has proved lies on the way to each point.
      std::optional<std::uint32_t> farthest;
      std::size_t most = 0;
      std::vector<std::size_t> fresh(circuit_.points, 0);
      for (std::uint32_t at : order_) {
        if (parent_[at] == ~0U || proved[at]) continue;
        fresh[at] = fresh[parent_[at]] + (doubled[came_[at]] ? 0 : 1);
        if (reached_[at] && fresh[at] > most) {
          most = fresh[at];
          farthest = at;
        }
      }
      if (!farthest) break;
      take(*farthest, proved, doubled);
    }
    for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
      const Branch& branch = circuit_.branches[b];
      const bool ground = std::find(order_.begin(), order_.end(), branch.a.index) != order_.end();
      if (ground && number[b] != ~0U && !network.cut(number[b])) walk_.in_loops.push_back(branch.element);
    }
  }

  void take(std::uint32_t to, std::vector<char>& proved, const std::vector<char>& doubled) {
    std::vector<std::uint32_t> way;
    std::uint32_t at = to;
    for (; !proved[at]; at = parent_[at]) way.push_back(at);
    std::reverse(way.begin(), way.end());
    WalkStep step;
    step.to = PointId{to};
    // The good point that a probe reaches nearest before the stretch.
    while (!reached_[at]) at = parent_[at];
    step.from = PointId{at};
    for (std::uint32_t point : way) {
      proved[point] = 1;
      if (!doubled[came_[point]]) step.proves.push_back(circuit_.branches[came_[point]].element);
      if (!reached_[point]) continue;
      step.stretch.push_back(PointId{point});
      step.bounds.push_back(step.proves.size());
    }
    step.most = most_halves(step.bounds, 0, step.bounds.size() - 1, 0, step.proves.size());
    step.first_half = half_of(step.bounds, 0, step.bounds.size() - 1, 0, step.proves.size());
    step.expected = expect(circuit_, walk_.anchor, step.to);
    const int plugs = harness_[walk_.anchor].role == PointRole::Plug ? 1 : 0;
    step.range = range_for(meter_, step.expected.ohms.high, plugs);
    step.shows = window(meter_, step.range, step.expected.ohms, plugs);
    walk_.steps.push_back(std::move(step));
  }

  // The readings that halving takes at worst; points that part nothing are not read.
  static int most_halves(const std::vector<std::size_t>& bounds, std::size_t low, std::size_t high,
                         std::size_t below, std::size_t above) {
    const std::size_t at = half_of(bounds, low, high, below, above);
    if (at == high) return 0;
    return 1 + std::max(most_halves(bounds, low, at, below, bounds[at]),
                        most_halves(bounds, at + 1, high, bounds[at], above));
  }

  const Harness& harness_;
  const Meter& meter_;
  Circuit circuit_;
  Walk walk_;
  std::vector<char> reached_;
  std::vector<std::uint32_t> order_;   // from the anchor outward
  std::vector<std::uint32_t> came_;    // by point: the branch by which the way reaches it
  std::vector<std::uint32_t> parent_;  // and the point before
};

}  // namespace

std::size_t half_of(const std::vector<std::size_t>& bounds, std::size_t low, std::size_t high,
                    std::size_t below, std::size_t above) {
  std::size_t best = high;
  std::size_t least = above - below;
  for (std::size_t at = low; at < high; ++at) {
    if (bounds[at] <= below || bounds[at] >= above) continue;
    const std::size_t worse = std::max(bounds[at] - below, above - bounds[at]);
    if (worse >= least) continue;
    least = worse;
    best = at;
  }
  return best;
}

std::optional<Walk> walk_ground(const Harness& harness, std::optional<std::size_t> stage, const Meter& meter,
                                const Temperature& temperature) {
  return Walker(harness, stage, meter, temperature).walk();
}

}  // namespace lugwise
