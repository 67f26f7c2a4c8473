#include <algorithm>

#include "drawing/inside/box_draughtsman.h"

namespace lugwise::drawing::inside {

std::vector<ElementId> BoxDraughtsman::contacts() const {
  std::vector<ElementId> found;
  for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
    const Element& element = harness_.elements()[i];
    if (element.kind == ElementKind::Contact && element.part == id_) found.push_back(ElementId{i});
  }
  return found;
}

std::size_t BoxDraughtsman::degree(PointId point) const {
  std::size_t count = 0;
  for (ElementId contact : contacts()) count += harness_[contact].a == point || harness_[contact].b == point;
  return count;
}

std::size_t BoxDraughtsman::most_degree(const std::vector<PointId>& points) const {
  std::size_t most = 1;
  for (PointId point : points) most = std::max(most, degree(point));
  return most;
}

bool BoxDraughtsman::meets_any(PointId point, const Points& others) const {
  const auto found = contacts();
  return std::any_of(found.begin(), found.end(), [&](ElementId contact) {
    const Element& element = harness_[contact];
    return (element.a == point && std::count(others.begin(), others.end(), element.b) > 0) ||
           (element.b == point && std::count(others.begin(), others.end(), element.a) > 0);
  });
}

std::vector<BoxDraughtsman::Points> BoxDraughtsman::poles() const {
  std::map<PointId, PointId> root;
  for (PointId point : part_.points) root[point] = point;
  const auto find = [&](PointId point) {
    while (root[point] != point) point = root[point];
    return point;
  };
  for (ElementId contact : contacts()) {
    const PointId a = find(harness_[contact].a), b = find(harness_[contact].b);
    root[std::max(a, b)] = std::min(a, b);
  }
  std::vector<Points> poles;
  Points alone;
  std::map<PointId, std::size_t> of_root;
  for (PointId point : part_.points) {
    if (degree(point) == 0) {
      alone.push_back(point);
      continue;
    }
    const auto [known, fresh] = of_root.emplace(find(point), poles.size());
    if (fresh) poles.emplace_back();
    poles[known->second].push_back(point);
  }
  if (poles.empty()) return {alone};
  poles.back().insert(poles.back().end(), alone.begin(), alone.end());
  return poles;
}

std::vector<BoxDraughtsman::Bar> BoxDraughtsman::bars_of(Rows& rows) const {
  std::vector<ElementId> left = contacts();
  std::vector<Bar> bars;
  while (!left.empty()) {
    std::map<PointId, std::size_t> count;
    for (ElementId contact : left) {
      ++count[harness_[contact].b];
      ++count[harness_[contact].a];
    }
    PointId centre = harness_[left.front()].b;  // the common lug, where nothing else decides
    for (PointId point : part_.points) {
      if (count.count(point) && count[point] > count[centre]) centre = point;
    }
    Bar bar;
    bar.centre = centre;
    bar.left = rows[centre].left;
    bar.top = bar.low = rows[centre].y;
    std::vector<ElementId> rest;
    for (ElementId contact : left) {
      const Element& element = harness_[contact];
      if (element.a != centre && element.b != centre) {
        rest.push_back(contact);
        continue;
      }
      const PointId leaf = element.a == centre ? element.b : element.a;
      bar.leaves.emplace_back(contact, leaf);
      bar.top = std::min(bar.top, rows[leaf].y);
      bar.low = std::max(bar.low, rows[leaf].y);
    }
    bars.push_back(std::move(bar));
    left = std::move(rest);
  }
  std::stable_sort(bars.begin(), bars.end(), [](const Bar& a, const Bar& b) { return a.top < b.top; });
  return bars;
}

std::pair<int, int> BoxDraughtsman::give_lanes(std::vector<Bar>& bars) {
  int lanes[2] = {0, 0};
  for (bool is_left : {true, false}) {
    std::vector<double> lowest;
    for (Bar& bar : bars) {
      if (bar.left != is_left) continue;
      std::size_t lane = 0;
      while (lane < lowest.size() && lowest[lane] > bar.top - 1) ++lane;
      if (lane == lowest.size()) lowest.push_back(0);
      lowest[lane] = bar.low;
      bar.lane = static_cast<int>(lane);
    }
    lanes[is_left ? 0 : 1] = static_cast<int>(lowest.size());
  }
  return {lanes[0], lanes[1]};
}

}  // namespace lugwise::drawing::inside
