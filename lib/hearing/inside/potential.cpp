#include "hearing/inside/potential.h"

#include <algorithm>

namespace lugwise::hearing::inside {

std::uint32_t Potentials::root(std::uint32_t point) {
  while (one_[point] != point) point = one_[point] = one_[one_[point]];
  return point;
}

void Potentials::join(std::uint32_t a, std::uint32_t b, double siemens) {
  const auto add = [&](std::uint32_t here, std::uint32_t there) {
    for (Arm& arm : arms_[here]) {
      if (arm.to != there) continue;
      arm.siemens += siemens;
      return;
    }
    arms_[here].push_back({there, siemens});
  };
  add(a, b);
  add(b, a);
}

void Potentials::replace(std::uint32_t centre) {
  Star star{centre, static_cast<std::uint32_t>(star_arms_.size()), 0, 0};
  for (const Arm& arm : arms_[centre]) {
    star_arms_.push_back(arm);
    star.total += arm.siemens;
    Arms& there = arms_[arm.to];
    const auto back =
        std::find_if(there.begin(), there.end(), [&](const Arm& one) { return one.to == centre; });
    *back = there.back();
    there.pop_back();
  }
  star.count = static_cast<std::uint32_t>(arms_[centre].size());
  arms_[centre].clear();
  gone_[centre] = 1;
  stars_.push_back(star);
  for (std::uint32_t i = 0; i < star.count; ++i) {
    for (std::uint32_t j = 0; j < i; ++j) {
      const Arm& one = star_arms_[star.first + i];
      const Arm& other = star_arms_[star.first + j];
      join(one.to, other.to, one.siemens / star.total * other.siemens);
    }
  }
  for (std::uint32_t i = 0; i < star.count; ++i) {
    const std::uint32_t arm = star_arms_[star.first + i].to;
    if (arms_[arm].size() <= 2) few_.push_back(arm);
  }
}

const std::vector<double>* Potentials::solve(std::size_t points, const std::vector<Link>& links,
                                             std::uint32_t from, std::uint32_t to) {
  one_.resize(points);
  for (std::uint32_t p = 0; p < points; ++p) one_[p] = p;
  for (const Link& link : links) {
    if (link.ohms <= 0) one_[root(link.a)] = root(link.b);
  }
  from = root(from);
  to = root(to);
  if (from == to) return nullptr;
  if (arms_.size() < points) arms_.resize(points);
  for (std::size_t p = 0; p < points; ++p) arms_[p].clear();
  for (const Link& link : links) {
    const std::uint32_t a = root(link.a);
    const std::uint32_t b = root(link.b);
    if (a != b) join(a, b, 1 / link.ohms);
  }
  stars_.clear();
  star_arms_.clear();
  few_.clear();
  gone_.assign(points, 0);
  gone_[from] = gone_[to] = 1;
  std::vector<std::uint32_t> rest;
  for (std::uint32_t p = 0; p < points; ++p) {
    if (one_[p] != p || gone_[p]) continue;
    (arms_[p].size() <= 2 ? few_ : rest).push_back(p);
  }
  for (;;) {
    while (!few_.empty()) {
      const std::uint32_t next = few_.back();
      few_.pop_back();
      if (!gone_[next] && arms_[next].size() <= 2) replace(next);
    }
    std::erase_if(rest, [&](std::uint32_t p) { return gone_[p] != 0; });
    if (rest.empty()) break;
    replace(*std::min_element(rest.begin(), rest.end(), [&](std::uint32_t x, std::uint32_t y) {
      return arms_[x].size() < arms_[y].size();
    }));
  }
  if (arms_[from].empty()) return nullptr;
  volts_.assign(points, 0);
  volts_[from] = 1 / arms_[from].front().siemens;
  for (std::size_t s = stars_.size(); s-- > 0;) {
    const Star& star = stars_[s];
    double sum = 0;
    for (std::uint32_t i = 0; i < star.count; ++i) {
      const Arm& arm = star_arms_[star.first + i];
      sum += arm.siemens * volts_[arm.to];
    }
    if (star.total > 0) volts_[star.centre] = sum / star.total;
  }
  for (std::uint32_t p = 0; p < points; ++p) volts_[p] = volts_[root(p)];
  return &volts_;
}

}  // namespace lugwise::hearing::inside
