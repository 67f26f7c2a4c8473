#include "network/inside/reduction.h"

#include <algorithm>

namespace lugwise::network::inside {
namespace {

// The arms between the arms are looked up each time where there are more of them: 4 MB.
constexpr std::size_t kMostKept = 1'000'000;

}  // namespace

Reduction::Reduction(std::size_t points, const Seats& edges, const std::vector<double>& siemens,
                     std::uint32_t from, std::uint32_t to)
    : turn_(points, 0) {
  const Elimination elimination(points, edges, siemens, {from, to});
  std::size_t arms = 1;
  for (const auto& star : elimination.stars()) arms += star.arms.size();
  stars_.reserve(elimination.stars().size() + 1);
  arms_.reserve(arms);
  siemens_.reserve(arms);
  for (const auto& star : elimination.stars()) {
    turn_[star.centre] = static_cast<std::uint32_t>(stars_.size());
    stars_.push_back(
        {static_cast<std::uint32_t>(arms_.size()), static_cast<std::uint32_t>(star.arms.size()), star.total});
    for (const auto& [arm, conductance] : star.arms) {
      arms_.push_back(arm);
      siemens_.push_back(conductance);
    }
  }
  turn_[from] = static_cast<std::uint32_t>(stars_.size());
  turn_[to] = turn_[from] + 1;
  stars_.push_back({static_cast<std::uint32_t>(arms_.size()), 1, 0});
  arms_.push_back(to);
  siemens_.push_back(elimination.conductance(from, to));
}

std::uint32_t Reduction::arm_between(std::uint32_t x, std::uint32_t y) const {
  const bool x_first = turn_[x] < turn_[y];
  const Star& star = stars_[turn_[x_first ? x : y]];
  const auto first = arms_.begin() + star.first;
  const auto arm = std::lower_bound(first, first + star.count, x_first ? y : x);
  return static_cast<std::uint32_t>(arm - arms_.begin());
}

void Reduction::find_mesh() {
  std::size_t size = 0;
  for (const Star& star : stars_) size += std::size_t{star.count} * (star.count - 1) / 2;
  if (!mesh_.empty() || size > kMostKept) return;
  mesh_.reserve(size);
  for (const Star& star : stars_) {
    for (std::uint32_t i = 0; i < star.count; ++i) {
      for (std::uint32_t j = i + 1; j < star.count; ++j)
        mesh_.push_back(arm_between(arms_[star.first + i], arms_[star.first + j]));
    }
  }
}

void Reduction::reweigh(const Seats& edges, const double* siemens) {
  find_mesh();
  std::fill(siemens_.begin(), siemens_.end(), 0);
  for (const auto& [a, b] : edges) siemens_[arm_between(a, b)] = *siemens++;
  std::size_t next = 0;
  for (Star& star : stars_) {
    star.total = 0;
    for (std::uint32_t i = 0; i < star.count; ++i) star.total += siemens_[star.first + i];
    for (std::uint32_t i = 0; i < star.count; ++i) {
      for (std::uint32_t j = i + 1; j < star.count; ++j) {
        const std::uint32_t x = star.first + i;
        const std::uint32_t y = star.first + j;
        const std::uint32_t arm = mesh_.empty() ? arm_between(arms_[x], arms_[y]) : mesh_[next++];
        // As the row of the one that is eliminated next has it.
        const bool x_first = turn_[arms_[x]] < turn_[arms_[y]];
        siemens_[arm] += siemens_[x_first ? x : y] / star.total * siemens_[x_first ? y : x];
      }
    }
  }
}

void Reduction::carry() {
  drops_.assign(arms_.size(), 0);
  drops_.back() = ohms();
  std::size_t next = mesh_.size();
  for (std::size_t k = stars_.size() - 1; k-- > 0;) {
    const Star& star = stars_[k];
    const std::size_t pairs = std::size_t{star.count} * (star.count - 1) / 2;
    next -= mesh_.empty() ? 0 : pairs;
    std::size_t pair = next;
    for (std::uint32_t i = 0; i < star.count; ++i) {
      for (std::uint32_t j = i + 1; j < star.count; ++j) {
        const std::uint32_t x = star.first + i;
        const std::uint32_t y = star.first + j;
        const std::uint32_t arm = mesh_.empty() ? arm_between(arms_[x], arms_[y]) : mesh_[pair++];
        const double from_x_to_y = turn_[arms_[x]] < turn_[arms_[y]] ? drops_[arm] : -drops_[arm];
        drops_[x] += siemens_[y] * -from_x_to_y;
        drops_[y] += siemens_[x] * from_x_to_y;
      }
    }
    for (std::uint32_t i = 0; i < star.count; ++i) drops_[star.first + i] /= star.total;
  }
}

double Reduction::drop(std::uint32_t from, std::uint32_t to) const {
  const double volts = drops_[arm_between(from, to)];
  return turn_[from] < turn_[to] ? volts : -volts;
}

}  // namespace lugwise::network::inside
