#include "network/elimination.h"

#include <algorithm>
#include <queue>

#include "network/network.h"

namespace lugwise {
namespace {

// About 100 MB of neighbours: a harness never comes near it, a malicious netlist stops here.
constexpr std::size_t kMostEntries = 6'000'000;

}  // namespace

Elimination::Elimination(std::vector<Neighbours> adjacent, const std::vector<std::uint32_t>& keep)
    : adjacent_(std::move(adjacent)), seat_(adjacent_.size(), -1) {
  std::vector<char> kept(adjacent_.size(), 0);
  for (std::uint32_t point : keep) kept[point] = 1;
  for (const Neighbours& row : adjacent_) entries_ += row.size();
  stars_.reserve(adjacent_.size());

  // Fewest neighbours first keeps the meshes small; degrees change, so stale entries are skipped.
  using Turn = std::pair<std::size_t, std::uint32_t>;
  std::priority_queue<Turn, std::vector<Turn>, std::greater<>> turns;
  for (std::uint32_t point = 0; point < adjacent_.size(); ++point) {
    if (!kept[point]) turns.emplace(adjacent_[point].size(), point);
  }
  std::vector<char> gone(adjacent_.size(), 0);
  while (!turns.empty()) {
    const auto [degree, point] = turns.top();
    turns.pop();
    if (gone[point] || degree != adjacent_[point].size()) continue;
    gone[point] = 1;
    eliminate(point);
    for (const auto& [neighbour, conductance] : stars_.back().arms) {
      if (!kept[neighbour]) turns.emplace(adjacent_[neighbour].size(), neighbour);
    }
  }
}

void Elimination::eliminate(std::uint32_t centre) {
  Star star{centre, 0, std::move(adjacent_[centre])};
  adjacent_[centre] = {};
  std::sort(star.arms.begin(), star.arms.end());
  for (const auto& [neighbour, conductance] : star.arms) star.total += conductance;
  entries_ -= star.arms.size();
  for (const auto& [neighbour, conductance] : star.arms) {
    Neighbours& row = adjacent_[neighbour];
    const auto me = std::find_if(row.begin(), row.end(), [&](const auto& arm) { return arm.first == centre; });
    *me = row.back();
    row.pop_back();
    --entries_;
    connect(neighbour, star.arms, conductance / star.total);
  }
  stars_.push_back(std::move(star));
  if (entries_ > kMostEntries) throw NetworkTooDense("the network is too interwoven to be solved");
}

// Adds the mesh's conductances from one of its points to all others.
void Elimination::connect(std::uint32_t at, const Neighbours& arms, double share) {
  Neighbours& row = adjacent_[at];
  for (std::size_t seat = 0; seat < row.size(); ++seat) seat_[row[seat].first] = static_cast<std::int32_t>(seat);
  for (const auto& [neighbour, conductance] : arms) {
    if (neighbour == at) continue;
    const std::int32_t seat = seat_[neighbour];
    if (seat >= 0) {
      row[static_cast<std::size_t>(seat)].second += share * conductance;
    } else {
      row.emplace_back(neighbour, share * conductance);
      ++entries_;
    }
  }
  for (const auto& arm : row) seat_[arm.first] = -1;
}

double Elimination::conductance(std::uint32_t a, std::uint32_t b) const {
  for (const auto& [neighbour, conductance] : adjacent_[a]) {
    if (neighbour == b) return conductance;
  }
  return 0;
}

}  // namespace lugwise
