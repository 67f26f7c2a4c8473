#include <algorithm>
#include <cmath>

#include "drawing/inside/geometry.h"
#include "drawing/inside/trial.h"

namespace lugwise::drawing::inside {
namespace {

std::vector<Cell> corners(const std::vector<Cell>& path) {
  std::vector<Cell> kept;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const bool straight = i > 0 && i + 1 < path.size() &&
                          ((path[i - 1].x == path[i].x && path[i].x == path[i + 1].x) ||
                           (path[i - 1].y == path[i].y && path[i].y == path[i + 1].y));
    if (!straight) kept.push_back(path[i]);
  }
  return kept;
}

// Makes the layout large enough for a cell, and the way around it.
void take_in(Layout& layout, Cell at) {
  layout.width = std::max(layout.width, at.x + 1);
  layout.height = std::max(layout.height, at.y + 1);
}

// A blob runs along the edge it lies on.
void run_along(std::vector<Spot>& there) {
  const Spot first = there.front();
  const auto far = std::max_element(there.begin(), there.end(), [&](const Spot& a, const Spot& b) {
    return std::hypot(a.x - first.x, a.y - first.y) < std::hypot(b.x - first.x, b.y - first.y);
  });
  std::iter_swap(there.begin(), far);
  for (std::size_t i = 1; i < there.size(); ++i) {
    const Spot last = there[i - 1];
    std::iter_swap(there.begin() + static_cast<std::ptrdiff_t>(i),
                   std::min_element(there.begin() + static_cast<std::ptrdiff_t>(i), there.end(),
                                    [&](const Spot& a, const Spot& b) {
                                      return std::hypot(a.x - last.x, a.y - last.y) <
                                             std::hypot(b.x - last.x, b.y - last.y);
                                    }));
  }
}

}  // namespace

void Trial::keep_used(PlacedPart& part) const {
  for (Terminal& terminal : part.terminals) {
    if (terminal.ring || terminal.sites.empty()) continue;
    const Foot first = terminal.sites[terminal.anchor];
    std::vector<Foot> used;
    for (const Foot& foot : terminal.sites) {
      const bool taken = std::any_of(tasks_.begin(), tasks_.end(), [&](const Task& task) {
        return task.start.at == foot.at || task.end.at == foot.at;
      });
      if (taken || foot.at == first.at) used.push_back(foot);
    }
    terminal.sites = std::move(used);
    terminal.anchor = 0;
  }
}

Strand Trial::strand_of(std::size_t r) const {
  const Run& run = hookup_.runs[r];
  Strand strand;
  strand.kind = run.kind;
  strand.element = run.element;
  strand.wire = run.wire;
  strand.from = run.from;
  strand.to = run.to;
  strand.free_start = hookup_.berths[*run.start.berth].free;
  strand.free_end = hookup_.berths[*run.end.berth].free;
  const auto routed = std::find(run_of_.begin(), run_of_.end(), r);
  if (routed == run_of_.end()) {
    strand.bent = true;
    strand.start = site(run.start);
    strand.end = site(run.end);
    strand.path = {strand.start.at, strand.end.at};
  } else {
    const Task& task = tasks_[static_cast<std::size_t>(routed - run_of_.begin())];
    strand.start = task.start;
    strand.end = task.end;
    strand.path = corners(task.path);
  }
  return strand;
}

Layout Trial::layout() {
  Layout layout;
  layout.crossings = router_.crossings(tasks_);
  for (const Task& task : tasks_) {
    for (const Cell at : task.path) take_in(layout, at);
    take_in(layout, task.start.at);
    take_in(layout, task.end.at);
  }
  std::map<std::size_t, std::vector<Foot>> spots;  // by berth
  for (std::size_t r = 0; r < hookup_.runs.size(); ++r) {
    Strand strand = strand_of(r);
    const Run& run = hookup_.runs[r];
    layout.stubs += strand.path.empty();
    spots[*run.start.berth].push_back(strand.start);
    spots[*run.end.berth].push_back(strand.end);
    layout.strands.push_back(std::move(strand));
  }
  std::map<int, std::vector<Spot>> pools;
  for (const auto& [index, sites] : spots) {
    const Berth& berth = hookup_.berths[index];
    if (!berth.joint) continue;
    Spot at;
    for (const Foot& site : sites) {
      const Spot here = at_cell(site.at);
      at.x += here.x / static_cast<double>(sites.size());
      at.y += here.y / static_cast<double>(sites.size());
      if (berth.pool) pools[*berth.pool].push_back(here);
    }
    layout.marks.push_back({berth.mark, *berth.joint, berth.point, berth.lead, at});
  }
  for (auto& [pool, there] : pools) {
    run_along(there);
    if (const auto grip = hookup_.pools[static_cast<std::size_t>(pool)])
      layout.pools.push_back({*grip, std::move(there)});
  }
  for (PlacedPart& part : parts_) {
    take_in(layout, {part.corner.x + part.width, part.corner.y + part.height});
    keep_used(part);
    layout.parts.push_back(std::move(part));
  }
  return layout;
}

}  // namespace lugwise::drawing::inside
