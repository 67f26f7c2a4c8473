#include "drawing/inside/placement.h"

#include <algorithm>

#include "drawing/inside/placer.h"
#include "drawing/inside/trade_name.h"

namespace lugwise::drawing::inside {
namespace {

constexpr int kMargin = 4;       // cells to the left of and above everything, for wires
constexpr int kBeyond = 14;      // to the right and below; what stays empty is cut off later
constexpr int kLeadsToARow = 8;  // for so many points of the upper, rows are a cell further apart
constexpr int kJackIn = 4;       // of a jack below the pots, under the last of them
constexpr int kAslant = 10;  // of a scratchplate's controls: nearer to the bridge and the jack with each row

}  // namespace

Placer::Placer(const Harness& harness, const std::vector<std::vector<Shape>>& shapes, const Places& places,
               int room)
    : harness_(harness),
      shapes_(shapes),
      places_(places),
      room_(room),
      has_(stock_of(harness)),
      cavity_(cavity_of(harness, has_, places)) {}

int Placer::row_gap(const Row& row) const { return kRowGap + room_ + leads_of(row) / kLeadsToARow; }

Placement Placer::place() {
  const std::size_t count = shapes_.size();
  made_.variant.assign(count, 0);
  made_.corner.assign(count, {});
  seat_all();
  turn();
  const auto [above, below] = rows_of();
  const Block block = measured();
  std::vector<int> left = lefts_of(above, block, below);
  const int first = left.empty() ? 0 : *std::min_element(left.begin(), left.end());
  int y = kMargin, widest = 0;
  std::size_t at = 0;
  const auto lay = [&](const Row& row) {
    const int x = kMargin + left[at++] - first;
    const auto [right, height] = lay_row(row, x, y);
    widest = std::max(widest, right);
    y += height + row_gap(row);
  };
  for (const Row& row : above) lay(row);
  if (!block.corners.empty()) {
    const int x = kMargin + left[at++] - first;
    for (const auto& [p, corner] : block.corners) set_down(cluster_of(p), x + corner.x, y + corner.y);
    widest = std::max(widest, x + block.width);
    y += block.height + kRowGap + room_;
  }
  for (const Row& row : below) lay(row);
  made_.width = widest + kBeyond + 2 * room_;
  made_.height = y + kBeyond;
  return std::move(made_);
}

void Placer::set_down(const Cluster& cluster, int x, int y) {
  for (const auto& [member, at] : cluster.members) made_.corner[member] = {x + at.x, y + at.y};
}

std::pair<int, int> Placer::lay_row(const Row& row, int x, int y) {
  int height = 0, above = 0;
  for (std::size_t p : row) above = std::max(above, cluster_of(p).above);
  for (std::size_t p : row) {
    const Cluster cluster = cluster_of(p);
    const int down = above - cluster.above;  // pots of a row stand level
    set_down(cluster, x, y + down);
    x += cluster.width + gap();
    height = std::max(height, cluster.height + down);
  }
  return {x, height};
}

void Placer::turn() {
  for (std::size_t p = 0; p < shapes_.size(); ++p) {
    if (seats_[p]) continue;
    if (part(p).kind == PartKind::Switch && !kills(p))
      face(p, {has_.modules > 0 ? Stance::OneSided : Stance::Lying, Stance::OneSided});
    else if (at_the_bridge(harness_, part(p)) || stands_in(part(p)))
      face(p, {Stance::UpsideDown});
    else if (part(p).kind == PartKind::Jack && band_of(p) != Band::Rest)
      face(p, {Stance::UpsideDown});
  }
}

void Placer::face(std::size_t p, std::initializer_list<Stance> wanted) {
  for (const Stance stance : wanted) {
    for (std::size_t v = 0; v < shapes_[p].size(); ++v) {
      if (shapes_[p][v].stance != stance) continue;
      made_.variant[p] = v;
      return;
    }
  }
}

int Placer::share_left(int width) const {
  const bool in_line = cavity_ == Cavity::ControlPlate && !two_decks() && has_.modules == 0;
  return in_line ? 0 : width / 2;
}

std::vector<int> Placer::lefts_of(const std::vector<Row>& above, const Block& block,
                                  const std::vector<Row>& below) const {
  std::vector<int> left;
  int rim = 0, jack = 0;
  const auto add = [&](const Row& row, int by) {
    Row core;
    for (std::size_t p : row) {
      if (!aside(p)) core.push_back(p);
    }
    const int width = width_of(core);
    left.push_back(core.empty() ? std::max(0, rim - kJackIn) : by - share_left(width));
    if (!core.empty()) rim = std::max(rim, by + width - share_left(width));
    jack = std::max(jack, has(row, PartKind::Jack) ? width_of(row) - width : 0);
  };
  for (const Row& row : above) add(row, 0);
  if (!block.corners.empty()) {
    left.push_back(-share_left(block.width));
    rim = std::max(rim, block.width - share_left(block.width));
  }
  const int aslant = two_decks() && cavity_ == Cavity::Scratchplate ? kAslant : 0;
  for (std::size_t i = 0; i < below.size(); ++i) {
    const bool module = has(below[i], PartKind::Module);
    add(below[i], (module ? 2 * jack / 3 : 0) + aslant * std::min(static_cast<int>(i) + 1, 2));
  }
  return left;
}

Placement place_parts(const Harness& harness, const std::vector<std::vector<Shape>>& shapes,
                      const Places& places, int room) {
  return Placer(harness, shapes, places, room).place();
}

}  // namespace lugwise::drawing::inside
