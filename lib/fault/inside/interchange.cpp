#include "fault/inside/interchange.h"

#include <algorithm>
#include <functional>
#include <set>

namespace lugwise::fault::inside {
namespace {

std::set<std::set<PointId>> groups_of(const Position& position, const std::function<PointId(PointId)>& as) {
  std::set<std::set<PointId>> groups;
  for (const std::vector<PointId>& group : position.groups) {
    std::set<PointId> lugs;
    for (PointId lug : group) lugs.insert(as(lug));
    if (lugs.size() > 1) groups.insert(std::move(lugs));
  }
  return groups;
}

// Looks for the lug opposite each, until every position is the mirror image of the one opposite.
class Turned {
 public:
  Turned(const Part& part, std::vector<PointId> lugs)
      : lugs_(std::move(lugs)),
        group_(part.positions.size(), std::vector<int>(lugs_.size(), -1)),
        opposite_(lugs_.size(), lugs_.size()) {
    for (std::size_t p = 0; p < group_.size(); ++p) {
      for (std::size_t g = 0; g < part.positions[p].groups.size(); ++g) {
        for (PointId lug : part.positions[p].groups[g]) {
          const auto seat = std::find(lugs_.begin(), lugs_.end(), lug);
          if (seat != lugs_.end())
            group_[p][static_cast<std::size_t>(seat - lugs_.begin())] = static_cast<int>(g);
        }
      }
    }
  }

  std::vector<std::pair<PointId, PointId>> pairs() {
    std::vector<std::pair<PointId, PointId>> found;
    if (!place(0)) return found;
    for (std::size_t x = 0; x < lugs_.size(); ++x) {
      if (opposite_[x] > x) found.emplace_back(lugs_[x], lugs_[opposite_[x]]);
    }
    return found;
  }

 private:
  static constexpr std::size_t kMostTries = 10'000;

  bool together(std::size_t p, std::size_t x, std::size_t y) const {
    return group_[p][x] >= 0 && group_[p][x] == group_[p][y];
  }

  bool fits(std::size_t x) const {
    const std::size_t last = group_.size() - 1;
    for (std::size_t y = 0; y < lugs_.size(); ++y) {
      if (opposite_[y] == lugs_.size()) continue;
      for (std::size_t p = 0; p <= last; ++p) {
        if (x != y && together(p, x, y) != together(last - p, opposite_[x], opposite_[y])) return false;
      }
    }
    return true;
  }

  bool place(std::size_t x) {
    const std::size_t n = lugs_.size();
    while (x < n && opposite_[x] != n) ++x;
    if (x == n) return true;
    for (std::size_t y = x; y < n; ++y) {
      if (opposite_[y] != n || ++tries_ > kMostTries) continue;
      opposite_[x] = y;
      opposite_[y] = x;
      if (fits(x) && fits(y) && place(x + 1)) return true;
      opposite_[x] = opposite_[y] = n;
    }
    return false;
  }

  std::vector<PointId> lugs_;
  std::vector<std::vector<int>> group_;  // of each lug in each position, or none
  std::vector<std::size_t> opposite_;    // of each lug; as many as there are: none yet
  std::size_t tries_ = 0;
};

}  // namespace

bool interchangeable(const Part& part, PointId x, PointId y) {
  return std::all_of(part.positions.begin(), part.positions.end(), [&](const Position& position) {
    const auto as_is = [](PointId lug) { return lug; };
    const auto exchanged = [&](PointId lug) { return lug == x ? y : lug == y ? x : lug; };
    return groups_of(position, as_is) == groups_of(position, exchanged);
  });
}

std::vector<std::pair<PointId, PointId>> opposite_lugs(const Harness& harness, const Part& part) {
  std::vector<PointId> lugs;
  for (PointId point : part.points) {
    if (harness[point].role == PointRole::Lug) lugs.push_back(point);
  }
  if (lugs.size() > kMostLugs || part.positions.size() < 2) return {};
  return Turned(part, std::move(lugs)).pairs();
}

}  // namespace lugwise::fault::inside
