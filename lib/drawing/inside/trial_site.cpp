#include <algorithm>
#include <cmath>

#include "drawing/inside/geometry.h"
#include "drawing/inside/trial.h"

namespace lugwise::drawing::inside {

Spot Trial::target(std::size_t berth) const {
  Spot sum;
  int count = 0;
  for (const Run& run : hookup_.runs) {
    const bool starts = run.start.berth == berth, ends = run.end.berth == berth;
    if (!starts && !ends) continue;
    const auto& other = starts ? run.end.berth : run.start.berth;
    if (!other) continue;
    const Terminal& terminal = *terminals_.at(hookup_.berths[*other].point);
    Spot at = terminal.at;
    if (!terminal.sites.empty() && !terminal.ring) {
      const Side out = terminal.sites.front().out;
      at.x += out == Side::Left ? -20 : out == Side::Right ? 20 : 0;
      at.y += out == Side::Up ? -20 : out == Side::Down ? 20 : 0;
    }
    sum.x += at.x;
    sum.y += at.y;
    ++count;
  }
  if (count == 0) return sum;
  return {sum.x / count, sum.y / count};
}

double Trial::wish_of(const Terminal& terminal, std::size_t berth) const {
  for (const Run& run : hookup_.runs) {
    if (run.end.berth == berth && bent_at(run)) return 1000.0 * bent_at(run);
    if (run.start.berth == berth && bent_at(run)) return -1000.0 * bent_at(run);
  }
  const Spot to = target(berth);
  if (!terminal.ring) {
    const Side out = terminal.sites.front().out;
    return out == Side::Up || out == Side::Down ? to.x : to.y;
  }
  // Clockwise from below, as a share of the turn; the sites lie from 1/6 to 5/6 of it.
  const Foot& top = terminal.sites[terminal.sites.size() / 2];
  const Foot& left = terminal.sites[terminal.sites.size() / 6];
  const double x = top.at.x * kCell, y = left.at.y * kCell;
  const double turn = std::atan2(-(to.x - x), to.y - y) / (2 * kPi);
  const double share = turn < 0 ? turn + 1 : turn;
  return std::clamp((share - 1.0 / 6) * 1.5, 0.0, 1.0) * static_cast<double>(terminal.sites.size() - 1);
}

std::vector<Trial::Group> Trial::groups_at(const Terminal& terminal) const {
  std::vector<Group> groups;
  std::map<int, std::size_t> of_pool;
  for (std::size_t berth : hookup_.at_point[terminal.point.index]) {
    const Berth& made = hookup_.berths[berth];
    std::size_t group = groups.size();
    if (made.pool) group = of_pool.emplace(*made.pool, groups.size()).first->second;
    if (group == groups.size()) groups.emplace_back();
    groups[group].berths.push_back(berth);
    groups[group].sites += made.sites;
    groups[group].wish += wish_of(terminal, berth);
  }
  for (Group& group : groups) {
    group.wish /= static_cast<double>(group.berths.size());
    std::stable_sort(group.berths.begin(), group.berths.end(), [&](std::size_t a, std::size_t b) {
      return wish_of(terminal, a) < wish_of(terminal, b);
    });
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [](const Group& a, const Group& b) { return a.wish < b.wish; });
  return groups;
}

void Trial::give_sites(const Terminal& terminal) {
  std::vector<Group> groups = groups_at(terminal);
  if (groups.empty()) return;
  int next = 0, all = 0;
  for (const Group& group : groups) all += group.sites;
  if (!terminal.ring) {
    const int most = static_cast<int>(terminal.sites.size());
    next = std::clamp(static_cast<int>(terminal.anchor) - (all - 1) / 2, 0, std::max(0, most - all));
  }
  for (Group& group : groups) {
    group.first = next;
    if (terminal.ring)
      group.first = std::max(next, static_cast<int>(std::lround(group.wish - (group.sites - 1) / 2.0)));
    next = group.first + group.sites;
  }
  int most = static_cast<int>(terminal.sites.size());
  for (std::size_t g = groups.size(); g-- > 0;) {
    groups[g].first = std::min(groups[g].first, most - groups[g].sites);
    most = groups[g].first;
  }
  for (const Group& group : groups) {
    int at = group.first;
    for (std::size_t berth : group.berths) {
      first_site_[berth] = at;
      at += hookup_.berths[berth].sites;
    }
  }
}

Foot Trial::site(const Run::End& end) const {
  const Berth& berth = hookup_.berths[*end.berth];
  return terminals_.at(berth.point)->sites[static_cast<std::size_t>(first_site_[*end.berth] + end.site)];
}

}  // namespace lugwise::drawing::inside
