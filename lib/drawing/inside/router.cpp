#include "drawing/inside/router.h"

#include <algorithm>
#include <cstdlib>
#include <deque>
#include <queue>
#include <utility>

namespace lugwise::drawing::inside {
namespace {

constexpr std::uint32_t kStep = 10;
constexpr std::uint32_t kBend = 28;
constexpr std::uint32_t kCrowd = 6;
constexpr std::uint32_t kStray = 6;  // of a lead, for each cell away from its bundle
constexpr std::uint32_t kPush = 220;
constexpr std::uint32_t kQuarrel = 90;

constexpr Cell kWay[4] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};  // in the order of Side

int opposite(int side) { return (side + 2) % 4; }
bool runs_across(int side) { return side % 2 == 1; }

// How often a way must turn that leaves a vertex by `side` and reaches the goal by `arrive`: from none to three times, as
// the goal lies before or behind (Wybrow, Marriott and Stuckey, "Orthogonal connector routing", Graph Drawing 2009).
std::uint32_t least_bends(Cell at, int side, Cell goal, int arrive) {
  const int dx = goal.x - at.x, dy = goal.y - at.y;
  const auto ahead = [&](int way) { return dx * kWay[way].x + dy * kWay[way].y; };
  if (side == arrive) {
    const int aside = runs_across(side) ? dy : dx;
    return aside == 0 && ahead(side) > 0 ? 0 : 2;
  }
  if (side == opposite(arrive)) return 2;
  return ahead(side) > 0 && ahead(arrive) > 0 ? 1 : 3;
}

// The least that is still to be paid from there.
std::uint32_t least_cost(Cell at, int side, Cell goal, int arrive) {
  return static_cast<std::uint32_t>(std::abs(at.x - goal.x) + std::abs(at.y - goal.y)) * kStep +
         least_bends(at, side, goal, arrive) * kBend;
}

// A state is a vertex and the side by which it is about to be left: its number is four times the vertex, and the side.
struct Open {
  std::uint32_t guess, cost;
  std::uint32_t state;
  bool operator>(const Open& other) const {
    return guess != other.guess ? guess > other.guess : state > other.state;
  }
};

}  // namespace

Router::Router(int width, int height) : width_(width), height_(height) {
  const auto size = static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
  blocked_.assign(size, 0);
  crowded_.assign(size, 0);
  across_.assign(size, -1);
  down_.assign(size, -1);
  quarrels_.assign(size, 0);
  best_.assign(size * 4, 0);
  seen_.assign(size * 4, 0);
  from_.assign(size * 4, -1);
}

std::vector<Cell> Router::way_back(std::size_t state, Cell goal) const {
  std::vector<Cell> path{goal};
  for (;;) {
    const std::size_t vertex = state / 4;
    path.push_back({static_cast<int>(vertex) % width_, static_cast<int>(vertex) / width_});
    const int before = from_[state];
    if (before < 0) break;
    const Cell back{path.back().x - kWay[before].x, path.back().y - kWay[before].y};
    state = index(back) * 4 + static_cast<std::size_t>(before);
  }
  std::reverse(path.begin(), path.end());
  return path;
}

bool Router::is_guarded(const Task& task, std::size_t vertex) const {
  const auto before_free = [&](const Foot& foot, bool is_free) {
    const Cell way = kWay[static_cast<int>(foot.out)];
    return is_free && vertex == index({foot.at.x + way.x, foot.at.y + way.y});
  };
  return before_free(task.start, task.free_start) || before_free(task.end, task.free_end);
}

// A* over vertices and the side they are left to. What lies in the way is free to cross at a right angle.
bool Router::search(Task& task, Barred barred, double limit) {
  ++round_;
  task.path.clear();
  const Cell goal = task.end.at;
  const auto goal_index = index(goal);
  const int arrive = opposite(static_cast<int>(task.end.out));  // its last step runs this way
  const auto most = static_cast<std::uint32_t>(std::min(limit, 4e9));
  std::priority_queue<Open, std::vector<Open>, std::greater<>> open;
  const auto offer = [&](std::size_t state, std::uint32_t cost, int from, Cell at) {
    if (seen_[state] == round_ && best_[state] <= cost) return;
    seen_[state] = round_;
    best_[state] = cost;
    from_[state] = static_cast<std::int8_t>(from);
    const std::uint32_t guess = cost + least_cost(at, static_cast<int>(state % 4), goal, arrive);
    if (guess < most) open.push({guess, cost, static_cast<std::uint32_t>(state)});
  };
  const int first = static_cast<int>(task.start.out);
  offer(index(task.start.at) * 4 + static_cast<std::size_t>(first), 0, -1, task.start.at);
  while (!open.empty()) {
    const Open top = open.top();
    open.pop();
    if (best_[top.state] != top.cost) continue;
    if (++effort_ > kMostEffort) return false;
    const std::size_t here = top.state / 4;
    const int side = static_cast<int>(top.state % 4);
    const Cell at{static_cast<int>(here) % width_, static_cast<int>(here) / width_};
    const Cell next{at.x + kWay[side].x, at.y + kWay[side].y};
    if (!inside(next)) continue;
    const std::size_t there = index(next);
    if (there == goal_index) {
      if (side != arrive) continue;
      task.path = way_back(top.state, next);
      return true;
    }
    if (blocked_[there]) continue;
    std::uint32_t base = top.cost + kStep + (crowded_[there] ? kCrowd : 0);
    if (task.bundle >= 0 && !beside_own(there, runs_across(side), task.bundle)) base += kStray;
    const bool guarded = is_guarded(task, there);
    const int along = runs_across(side) ? across_[there] : down_[there];
    const int athwart = runs_across(side) ? down_[there] : across_[there];
    for (int leave = 0; leave < 4; ++leave) {
      if (leave == opposite(side)) continue;
      const bool straight = leave == side;
      std::uint32_t cost = base + (straight ? 0 : kBend);
      if (along >= 0 || ((!straight || guarded) && athwart >= 0)) {
        if (barred == Barred::GoneAround) continue;
        cost += kPush + kQuarrel * quarrels_[there];
      } else if (athwart >= 0) {
        cost += cross_;
      }
      offer(there * 4 + static_cast<std::size_t>(leave), cost, side, next);
    }
  }
  return false;
}

bool Router::beside_own(std::size_t vertex, bool across, int bundle) const {
  const std::vector<int>& owners = across ? across_ : down_;
  const std::size_t far = across ? static_cast<std::size_t>(width_) : 1;
  const auto own = [&](std::size_t at) {
    return owners[at] >= 0 && bundle_[static_cast<std::size_t>(owners[at])] == bundle;
  };
  return (vertex >= far && own(vertex - far)) || (vertex + far < owners.size() && own(vertex + far));
}

void Router::lay(const Task& task, int owner) {
  for (std::size_t i = 0; i < task.path.size(); ++i) {
    const Cell at = task.path[i];
    const bool end = i == 0 || i + 1 == task.path.size() || guards(task, i);
    const bool across_in = i > 0 && task.path[i - 1].y == at.y;
    const bool across_out = i + 1 < task.path.size() && task.path[i + 1].y == at.y;
    const bool down_in = i > 0 && task.path[i - 1].x == at.x;
    const bool down_out = i + 1 < task.path.size() && task.path[i + 1].x == at.x;
    if (end || across_in || across_out) across_[index(at)] = owner;
    if (end || down_in || down_out) down_[index(at)] = owner;
  }
}

void Router::lift(const Task& task, int owner) {
  for (const Cell at : task.path) {
    if (across_[index(at)] == owner) across_[index(at)] = -1;
    if (down_[index(at)] == owner) down_[index(at)] = -1;
  }
}

double Router::cost(const Task& task) const {
  if (task.path.empty()) return 20000;
  double total = 0;
  for (std::size_t i = 1; i < task.path.size(); ++i) {
    const Cell at = task.path[i];
    total += kStep;
    if (i + 1 == task.path.size()) break;
    if (crowded_[index(at)]) total += kCrowd;
    const bool across_in = task.path[i - 1].y == at.y, across_out = task.path[i + 1].y == at.y;
    if (task.bundle >= 0 && !beside_own(index(at), across_in, task.bundle)) total += kStray;
    if (across_in != across_out)
      total += kBend;
    else if (!guards(task, i) && (across_in ? down_ : across_)[index(at)] >= 0)
      total += cross_;
  }
  return total;
}

double Router::cost(const std::vector<Task>& tasks) const {
  double total = 0;
  for (const Task& task : tasks) total += cost(task);
  return total;
}

int Router::crossings(const std::vector<Task>& tasks) const {
  int count = 0;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    for (std::size_t i = 1; i + 1 < tasks[t].path.size(); ++i) {
      const Cell at = tasks[t].path[i];
      const int a = across_[index(at)], d = down_[index(at)];
      if (a >= 0 && d >= 0 && a != d) ++count;
    }
  }
  return count / 2;
}

void Router::route(std::vector<Task>& tasks, int most_pushes) {
  bundle_.clear();
  for (const Task& task : tasks) bundle_.push_back(task.bundle);
  std::vector<std::size_t> order(tasks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto span = [&](std::size_t i) {
    return std::abs(tasks[i].start.at.x - tasks[i].end.at.x) +
           std::abs(tasks[i].start.at.y - tasks[i].end.at.y);
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return span(a) < span(b); });
  std::deque<std::size_t> waiting(order.begin(), order.end());
  std::vector<int> tries(tasks.size(), 0);
  while (!waiting.empty() && !tired()) {
    const std::size_t t = waiting.front();
    waiting.pop_front();
    if (!search(tasks[t], Barred::PushedOff)) continue;
    if (++tries[t] > most_pushes) {  // it is pushed about for ever: it stays off
      tasks[t].path.clear();
      continue;
    }
    // Whoever lies in the way gets up.
    std::vector<int> pushed;
    for (std::size_t i = 1; i + 1 < tasks[t].path.size(); ++i) {
      const Cell at = tasks[t].path[i];
      const bool across_in = tasks[t].path[i - 1].y == at.y, across_out = tasks[t].path[i + 1].y == at.y;
      const bool both = guards(tasks[t], i);
      for (int owner : {both || across_in || across_out ? across_[index(at)] : -1,
                        both || !across_in || !across_out ? down_[index(at)] : -1}) {
        if (owner < 0) continue;
        ++quarrels_[index(at)];
        if (std::find(pushed.begin(), pushed.end(), owner) == pushed.end()) pushed.push_back(owner);
      }
    }
    for (int owner : pushed) {
      lift(tasks[static_cast<std::size_t>(owner)], owner);
      tasks[static_cast<std::size_t>(owner)].path.clear();
      waiting.push_back(static_cast<std::size_t>(owner));
    }
    lay(tasks[t], static_cast<int>(t));
  }
  // What gave up may find a way now that all is quiet.
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    if (tasks[t].path.empty() && search(tasks[t], Barred::GoneAround)) lay(tasks[t], static_cast<int>(t));
  }
}

void Router::improve(std::vector<Task>& tasks) {
  for (std::size_t t = 0; t < tasks.size() && !tired(); ++t) {
    const std::vector<Cell> before = tasks[t].path;
    const double cost_before = cost(tasks[t]);
    lift(tasks[t], static_cast<int>(t));
    if (!search(tasks[t], Barred::GoneAround, cost_before)) tasks[t].path = before;
    lay(tasks[t], static_cast<int>(t));
  }
}

bool Router::move(std::vector<Task>& tasks, TaskEnd end, Foot to) {
  if (tired()) return false;
  Task& task = tasks[end.task];
  const int owner = static_cast<int>(end.task);
  const Task before = task;
  const double cost_before = cost(before);
  lift(task, owner);
  end.foot(tasks) = to;
  const bool better = search(task, Barred::GoneAround, cost_before - 1);
  if (!better) task = before;
  lay(task, owner);
  return better;
}

bool Router::exchange(std::vector<Task>& tasks, TaskEnd a, TaskEnd b) {
  return lay_anew(tasks, a.task, b.task, [&] { std::swap(a.foot(tasks), b.foot(tasks)); });
}

bool Router::uncross(std::vector<Task>& tasks) {
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (std::size_t t = 0; t < tasks.size(); ++t) {
    for (const Cell at : tasks[t].path) {
      const int a = across_[index(at)], d = down_[index(at)];
      if (a >= 0 && d >= 0 && a != d && std::max(a, d) == static_cast<int>(t))
        pairs.emplace_back(static_cast<std::size_t>(std::min(a, d)), t);
    }
  }
  pairs.erase(std::unique(pairs.begin(), pairs.end()), pairs.end());
  bool better = false;
  for (const auto& [a, b] : pairs) better = lay_anew(tasks, a, b, [] {}) || better;
  return better;
}

template <class Change>
bool Router::lay_anew(std::vector<Task>& tasks, std::size_t a, std::size_t b, const Change& change) {
  if (tired()) return false;
  const Task before_a = tasks[a], before_b = tasks[b];
  const double before = cost(tasks[a]) + cost(tasks[b]);
  lift(tasks[a], static_cast<int>(a));
  lift(tasks[b], static_cast<int>(b));
  change();
  for (bool turned : {false, true}) {
    const std::size_t one = turned ? b : a, two = turned ? a : b;
    if (search(tasks[one], Barred::GoneAround, before - 1)) {
      lay(tasks[one], static_cast<int>(one));
      if (search(tasks[two], Barred::GoneAround, before - 1 - cost(tasks[one]))) {
        lay(tasks[two], static_cast<int>(two));
        if (cost(tasks[a]) + cost(tasks[b]) < before - 1) return true;
        lift(tasks[two], static_cast<int>(two));
      }
      lift(tasks[one], static_cast<int>(one));
    }
  }
  tasks[a] = before_a;
  tasks[b] = before_b;
  lay(tasks[a], static_cast<int>(a));
  lay(tasks[b], static_cast<int>(b));
  return false;
}

}  // namespace lugwise::drawing::inside
