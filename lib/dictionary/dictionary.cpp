#include "dictionary/dictionary.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dictionary/inside/solution.h"

namespace lugwise {

using namespace dictionary::inside;
namespace {

std::optional<Ohms> finite(double ohms) { return std::isinf(ohms) ? std::nullopt : std::optional(ohms); }

Found found_of(const Corners& ohms) { return {finite(ohms[0]), finite(ohms[1]), finite(ohms[2])}; }

}  // namespace

struct Chapter::Body : Solution {
  using Solution::Solution;
};

Chapter::Chapter(const Circuit& circuit, std::vector<PointId> probes)
    : body_(new Body(circuit, std::move(probes))) {}

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
  const Solution::Region region = body_->region(delta);
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
    const Solution::Region region = body_->region(delta);
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
  const Solution::Region region = body_->region(delta);
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
      sum[c] = ohms ? sum[c] + *ohms : kOpen;
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
  const Solution::Region region = body_->region(delta);
  // Down the trees: a point hangs on the place of the region above it. What has none above it hangs on the highest.
  std::vector<std::uint32_t> gate(body_->points(), Solution::kNobody);
  for (std::uint32_t place : region.places) gate[place] = place;
  for (std::uint32_t point : body_->order) {
    if (gate[point] == Solution::kNobody && body_->up[point] != Solution::kNobody)
      gate[point] = gate[body_->up[point]];
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
    if (at == Solution::kNobody) {
      const std::uint32_t component = body_->shape().component(body_->probes[i].index);
      for (const auto& [touched, top] : tops) {
        if (touched == component) at = top;
      }
      if (at == Solution::kNobody) continue;
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
