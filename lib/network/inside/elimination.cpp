#include "network/inside/elimination.h"

#include <algorithm>

#include "network/inside/turns.h"
#include "network/network.h"

namespace lugwise::network::inside {
namespace {

// A harness never comes near either, a malicious netlist stops here: about 100 MB of neighbours, about a second.
constexpr std::size_t kMostEntries = 6'000'000;
constexpr std::size_t kMostWork = 100'000'000;

// Rows up to this long are always kept tidy. Longer ones only when they have doubled, so that a point with very many
// neighbours costs no more than they do.
constexpr std::size_t kShort = 32;

}  // namespace

Elimination::Elimination(std::size_t points, const Seats& edges, const std::vector<double>& siemens,
                         const std::vector<std::uint32_t>& keep)
    : gone_(points, 0), seat_(points, -1) {
  lay_out(edges, siemens);
  std::vector<char> kept(points, 0);
  for (std::uint32_t point : keep) kept[point] = 1;
  stars_.reserve(points);

  // Fewest neighbours first keeps the meshes small.
  Turns turns(points);
  for (std::uint32_t point = 0; point < points; ++point) {
    if (!kept[point]) turns.put(point, rows_[point].arms.size());
  }
  while (const auto point = turns.take()) {
    eliminate(*point);
    for (const auto& [neighbour, conductance] : stars_.back().arms) {
      if (!kept[neighbour]) turns.put(neighbour, rows_[neighbour].arms.size());
    }
  }
}

void Elimination::lay_out(const Seats& edges, const std::vector<double>& siemens) {
  std::vector<std::uint32_t> degree(gone_.size(), 0);
  for (std::size_t e = 0; e < edges.size(); ++e) {
    if (siemens[e] == 0) continue;
    ++degree[edges[e].first];
    ++degree[edges[e].second];
    entries_ += 2;
  }
  rows_.reserve(degree.size());
  for (const std::uint32_t count : degree) {
    rows_.push_back({Neighbours(memory_), count});
    rows_.back().arms.reserve(count + 1);
  }
  for (std::size_t e = 0; e < edges.size(); ++e) {
    if (siemens[e] == 0) continue;
    rows_[edges[e].first].arms.emplace_back(edges[e].second, siemens[e]);
    rows_[edges[e].second].arms.emplace_back(edges[e].first, siemens[e]);
  }
}

void Elimination::eliminate(std::uint32_t centre) {
  tidy(centre);
  gone_[centre] = 1;
  Star star{centre, 0, std::move(rows_[centre].arms)};
  std::sort(star.arms.begin(), star.arms.end());
  for (const auto& [neighbour, conductance] : star.arms) star.total += conductance;
  entries_ -= star.arms.size();
  work_ += star.arms.size() * star.arms.size();
  if (entries_ > kMostEntries || work_ > kMostWork) {
    throw NetworkTooDense("the network is too interwoven to be solved");
  }
  for (const auto& [at, conductance] : star.arms) {
    Row& row = rows_[at];
    const double share = conductance / star.total;
    for (const auto& [neighbour, other] : star.arms) {
      if (neighbour != at) row.arms.emplace_back(neighbour, share * other);
    }
    entries_ += star.arms.size() - 1;
    if (row.arms.size() <= kShort || row.arms.size() > 2 * row.tidy) tidy(at);
  }
  stars_.push_back(std::move(star));
}

void Elimination::tidy(std::uint32_t point) {
  Neighbours& arms = rows_[point].arms;
  std::size_t end = 0;
  for (const auto& [neighbour, conductance] : arms) {
    if (gone_[neighbour]) continue;
    std::int32_t& seat = seat_[neighbour];
    if (seat >= 0) {
      arms[static_cast<std::size_t>(seat)].second += conductance;
    } else {
      seat = static_cast<std::int32_t>(end);
      arms[end++] = {neighbour, conductance};
    }
  }
  entries_ -= arms.size() - end;
  arms.resize(end);
  rows_[point].tidy = end;
  for (const auto& arm : arms) seat_[arm.first] = -1;
}

double Elimination::conductance(std::uint32_t a, std::uint32_t b) const {
  double sum = 0;
  for (const auto& [neighbour, conductance] : rows_[a].arms) {
    if (neighbour == b) sum += conductance;
  }
  return sum;
}

}  // namespace lugwise::network::inside
