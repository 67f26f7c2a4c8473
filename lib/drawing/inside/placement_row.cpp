#include <algorithm>
#include <map>

#include "drawing/inside/placer.h"
#include "drawing/inside/trade_name.h"

namespace lugwise::drawing::inside {
namespace {

constexpr int kWidestRow = 104;       // cells; what is wider goes on in a row of its own
constexpr std::size_t kTwoDecks = 4;  // pots from which on they lie in two rows

}  // namespace

bool Placer::two_decks() const {
  if (has_.pots >= kTwoDecks) return true;
  return cavity_ == Cavity::Scratchplate && has_.tones > 0 && has_.pots > has_.tones;
}

Placer::Band Placer::band_of(std::size_t p) const {
  const Part& one = part(p);
  switch (one.kind) {
    case PartKind::Pickup:
      return Band::Pickups;
    case PartKind::Pot:
      return two_decks() && says(one.name, {"tone"}) ? Band::Tones : Band::Controls;
    case PartKind::Jack:
      if (has_.pots == 1 && has_.modules == 0) return Band::Rest;
      return two_decks() ? Band::Tones : Band::Controls;
    case PartKind::Switch:
      return mixes() || kills(p) ? Band::Rest : Band::Controls;
    case PartKind::Metal:
      return at_the_bridge(harness_, one) ? Band::Pickups : Band::Rest;
    case PartKind::Resistor:
    case PartKind::Capacitor:
      return Band::Pickups;
    default:
      return Band::Rest;
  }
}

int Placer::order_in_row(std::size_t p) const {
  const Part& one = part(p);
  switch (one.kind) {
    case PartKind::Metal:
      return at_the_bridge(harness_, one) ? 90 : 0;
    case PartKind::Jack:
      return 90;
    case PartKind::Switch:
      // A selector before the pots and a split between them where they lie in two rows; else a button or a split behind them.
      return one.points.size() > 2 ? 0 : two_decks() ? 5 : 70;
    case PartKind::Pot:
      return (says(one.name, {"tone"}) ? 50 : 10) + 10 * rank_of(one.name);
    default:
      return 10 * rank_of(one.name);
  }
}

std::pair<std::vector<Placer::Row>, std::vector<Placer::Row>> Placer::rows_of() const {
  std::map<int, Row> rows;
  for (std::size_t p = 0; p < shapes_.size(); ++p) {
    if (seats_[p] || is_measured(p)) continue;
    rows[given(p) ? static_cast<int>(places_.of(p)->y) : static_cast<int>(band_of(p))].push_back(p);
  }
  std::pair<std::vector<Row>, std::vector<Row>> made;
  for (auto& [y, row] : rows) {
    const auto key = [&](std::size_t p) {
      return std::pair(given(p) ? -1 : order_in_row(p), given(p) ? places_.of(p)->x : 0);
    };
    std::stable_sort(row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    split(row, y == static_cast<int>(Band::Pickups) ? made.first : made.second);
  }
  return made;
}

void Placer::split(const Row& row, std::vector<Row>& made) const {
  made.emplace_back();
  for (std::size_t p : row) {
    Row longer = made.back();
    longer.push_back(p);
    if (!made.back().empty() && width_of(longer) > kWidestRow && !given(p)) {
      made.push_back({p});
    } else {
      made.back() = std::move(longer);
    }
  }
}

bool Placer::has(const Row& row, PartKind kind) const {
  return std::any_of(row.begin(), row.end(), [&](std::size_t p) { return part(p).kind == kind; });
}

bool Placer::aside(std::size_t p) const {
  if (given(p)) return false;
  return part(p).kind == PartKind::Jack || at_the_bridge(harness_, part(p));
}

int Placer::width_of(const Row& row) const {
  int width = 0;
  for (std::size_t p : row) width += (width > 0 ? gap() : 0) + cluster_of(p).width;
  return width;
}

int Placer::leads_of(const Row& row) const {
  std::size_t count = 0;
  for (std::size_t p : row) count += part(p).points.size();
  return static_cast<int>(count);
}

}  // namespace lugwise::drawing::inside
