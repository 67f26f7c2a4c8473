// Ways for wires over the grid, around parts: no two share a stretch or a corner, crossings are straight and few.
//
// Each vertex of the grid has two owners, one running across and one running down; a corner owns both. A wire that finds
// its way barred may push others off it, at a price that rises each time, and those look for another way (rip-up and
// re-route). What can't be routed in the effort allowed has an empty path.
#pragma once

#include <cstdint>
#include <vector>

#include "drawing/layout.h"

namespace lugwise::drawing::inside {

struct Task {
  Foot start, end;
  std::vector<Cell> path;  // every vertex from start to end
  bool free_start = false,
       free_end = false;  // this end is joined to nothing: right before it nothing crosses
  int bundle = -1;        // of leads that go side by side, as those of one pickup; none: -1
};

// One end of a task.
struct TaskEnd {
  std::size_t task = 0;
  bool start = false;

  Foot& foot(std::vector<Task>& tasks) const { return start ? tasks[task].start : tasks[task].end; }
  const Foot& foot(const std::vector<Task>& tasks) const {
    return start ? tasks[task].start : tasks[task].end;
  }
};

class Router {
 public:
  Router(int width, int height);

  void block(Cell cell) { blocked_[index(cell)] = 1; }
  // Costs a little more to run here: too close to a part.
  void crowd(Cell cell) { crowded_[index(cell)] = 1; }

  // A wire that is pushed off more often than that stays off.
  void route(std::vector<Task>& tasks, int most_pushes);

  // Rips up two tasks, exchanges these ends of theirs and routes both anew, kept only where that is better: then true.
  bool exchange(std::vector<Task>& tasks, TaskEnd a, TaskEnd b);

  // Rips up each two that cross and routes both anew, in either order; kept only where that is better: then true.
  bool uncross(std::vector<Task>& tasks);

  // Moves an end of a task to another site, kept only where that is better: then true.
  bool move(std::vector<Task>& tasks, TaskEnd end, Foot to);

  // One more pass in which every wire looks for a better way while the others lie.
  void improve(std::vector<Task>& tasks);

  // What a crossing costs, ten for each cell of a way.
  void charge(std::uint32_t crossing) { cross_ = crossing; }

  double cost(const std::vector<Task>& tasks) const;
  int crossings(const std::vector<Task>& tasks) const;
  bool tired() const { return effort_ > kMostEffort; }

 private:
  static constexpr std::uint64_t kMostEffort = 5'000'000;  // steps of search

  std::size_t index(Cell cell) const {
    return static_cast<std::size_t>(cell.y) * static_cast<std::size_t>(width_) +
           static_cast<std::size_t>(cell.x);
  }
  bool inside(Cell cell) const { return cell.x >= 0 && cell.y >= 0 && cell.x < width_ && cell.y < height_; }
  // What lies in the way of a search: it is gone around, or pushed off where that costs less.
  enum class Barred { GoneAround, PushedOff };
  // Whether there is a way for less than `limit`; where there is none the path is empty.
  bool search(Task& task, Barred barred, double limit = 1e9);
  // From the start of a search to its goal, which was reached by this state.
  std::vector<Cell> way_back(std::size_t state, Cell goal) const;
  // Whether a vertex is right before a free end of a task that has no path yet.
  bool is_guarded(const Task& task, std::size_t vertex) const;
  // Rips up two tasks, changes them and routes both anew, in either order; as before where that is no better.
  template <class Change>
  bool lay_anew(std::vector<Task>& tasks, std::size_t a, std::size_t b, const Change& change);
  // Whether this vertex of its path is right before a free end.
  static bool guards(const Task& task, std::size_t i) {
    return (task.free_start && i == 1) || (task.free_end && i + 2 == task.path.size());
  }
  // Whether one of the same bundle runs beside it there.
  bool beside_own(std::size_t vertex, bool across, int bundle) const;
  void lay(const Task& task, int owner);
  void lift(const Task& task, int owner);
  double cost(const Task& task) const;

  int width_, height_;
  std::vector<char> blocked_, crowded_;
  std::vector<int> across_, down_;       // owners; -1: none
  std::vector<int> bundle_;              // by owner
  std::vector<std::uint16_t> quarrels_;  // how often wires were pushed off here
  std::vector<std::uint32_t> best_, seen_;
  std::vector<std::int8_t> from_;
  std::uint32_t cross_ = 0;
  std::uint32_t round_ = 0;
  std::uint64_t effort_ = 0;
};

}  // namespace lugwise::drawing::inside
