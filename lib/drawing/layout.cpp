#include "drawing/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

#include "drawing/drawing.h"
#include "drawing/inside/geometry.h"
#include "drawing/inside/hookup.h"
#include "drawing/inside/placement.h"
#include "drawing/inside/router.h"
#include "drawing/inside/shape.h"

namespace lugwise {

using namespace drawing::inside;

namespace {

constexpr std::size_t kMostParts = 100;
constexpr std::size_t kMostRuns = 300;
constexpr std::size_t kMostPoints = 1000;

// What a crossing is worth, ten for each cell of a way: by it the worked harnesses have fewer crossings than where parts stand
// wherever their wires are shortest, for ways that are no longer.
constexpr std::uint32_t kCrossing = 250;

// Cells between parts, at most: with more room all wires find a way.
constexpr int kMostRoom = 9;

// How often a wire may be pushed off its way. Where there may be more room, that is tried soon.
constexpr int kFewPushes = 12, kManyPushes = 60;

// One try: parts placed, berths given sites, wires routed.
class Trial {
 public:
  Trial(const Harness& harness, const Hookup& hookup, const std::vector<std::vector<Shape>>& shapes,
        const Places& places, int room)
      : harness_(harness),
        hookup_(hookup),
        placement_(place_parts(harness, hookup, shapes, places, room)),
        router_(placement_.width + 1, placement_.height + 1) {
    for (std::size_t p = 0; p < shapes.size(); ++p) {
      const Shape& shape = shapes[p][placement_.variant[p]];
      parts_.push_back(moved(shape.part, placement_.corner[p]));
      cover(shape, placement_.corner[p]);
      for (std::size_t t = 0; t < parts_[p].terminals.size(); ++t)
        terminals_.emplace(parts_[p].terminals[t].point, &parts_[p].terminals[t]);
    }
    first_site_.assign(hookup.berths.size(), 0);
    for (const auto& [point, terminal] : terminals_) give_sites(*terminal);
    for (std::size_t r = 0; r < hookup.runs.size(); ++r) {
      const Run& run = hookup.runs[r];
      if (bent_at(run)) continue;
      run_of_.push_back(r);
      tasks_.push_back({site(run.start),
                        site(run.end),
                        {},
                        hookup.berths[*run.start.berth].free,
                        hookup.berths[*run.end.berth].free,
                        bundle_of(run)});
    }
    router_.charge(kCrossing);
    router_.route(tasks_, room < kMostRoom ? kFewPushes : kManyPushes);
    router_.improve(tasks_);
  }

  bool tired() const { return router_.tired(); }
  int unrouted() const {
    return static_cast<int>(
        std::count_if(tasks_.begin(), tasks_.end(), [](const Task& t) { return t.path.empty(); }));
  }

  void polish() {
    for (int pass = 0; pass < 3; ++pass) {
      bool better = false;
      for (const auto& [point, terminal] : terminals_) better = exchange_at(point, *terminal) || better;
      better = router_.uncross(tasks_) || better;
      router_.improve(tasks_);
      if (!better) return;
    }
    router_.uncross(tasks_);
    for (const auto& [point, terminal] : terminals_) exchange_at(point, *terminal);
  }

  Layout layout();

 private:
  void keep_used(PlacedPart& part) const;
  Strand strand_of(std::size_t r) const;  // of a run

  void cover(const Shape& shape, Cell corner) {
    for (int y = -1; y <= shape.part.height + 1; ++y) {
      for (int x = -1; x <= shape.part.width + 1; ++x) {
        const Cell cell{corner.x + x, corner.y + y};
        const bool in = x >= 0 && y >= 0 && x <= shape.part.width && y <= shape.part.height;
        if (in && shape.blocks(x, y)) router_.block(cell);
        router_.crowd(cell);
      }
    }
  }

  // Leads of one pickup go side by side, and so do the core and the braid of a cable.
  int bundle_of(const Run& run) const {
    if (run.kind == Strand::Kind::Lead && harness_[run.from].part) {
      const PartId part = *harness_[run.from].part;
      return harness_[part].kind == PartKind::Pickup ? static_cast<int>(part.index) : -1;
    }
    if (!run.wire) return -1;
    const Wire& wire = harness_[*run.wire];
    const auto braided = [&](const Wire& other) { return other.braid && other.core == run.wire; };
    const bool cable = wire.braid || std::any_of(harness_.wires().begin(), harness_.wires().end(), braided);
    const WireId core = wire.braid ? *wire.core : *run.wire;
    return cable ? static_cast<int>(harness_.parts().size() + core.index) : -1;
  }

  // The middle of what the other ends of a berth's runs are at.
  Spot target(std::size_t berth) const {
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

  // A pot's outer lug that is soldered to its own case is bent up to it: -1 for lug 3, at the left, 1 for lug 1; 0 for what
  // is no such thing.
  int bent_at(const Run& run) const {
    if (run.kind != Strand::Kind::Lead || !run.start.berth || !run.end.berth) return 0;
    const PointId lug = hookup_.berths[*run.start.berth].point, to = hookup_.berths[*run.end.berth].point;
    if (!harness_[lug].part || harness_[lug].part != harness_[to].part) return 0;
    const Part& part = harness_[*harness_[lug].part];
    if (!part.pot || part.pot->gang || to != part.points.back()) return 0;
    return lug == part.pot->lug1 ? 1 : lug == part.pot->lug3 ? -1 : 0;
  }

  struct Group {
    std::vector<std::size_t> berths;
    double wish = 0;
    int sites = 0;
    int first = 0;
  };

  void give_sites(const Terminal& terminal) {
    const std::vector<std::size_t>& berths = hookup_.at_point[terminal.point.index];
    if (berths.empty()) return;
    const auto wish = [&](std::size_t berth) -> double {
      for (const Run& run : hookup_.runs) {
        if (run.end.berth == berth && bent_at(run)) return 1000.0 * bent_at(run);
        if (run.start.berth == berth && bent_at(run)) return -1000.0 * bent_at(run);
      }
      const Spot to = target(berth);
      if (terminal.ring) {
        // Clockwise from below, as a share of the turn; the sites lie from 1/6 to 5/6 of it.
        const Foot& top = terminal.sites[terminal.sites.size() / 2];
        const Foot& left = terminal.sites[terminal.sites.size() / 6];
        const double x = top.at.x * kCell, y = left.at.y * kCell;
        const double turn = std::atan2(-(to.x - x), to.y - y) / (2 * kPi);
        const double share = turn < 0 ? turn + 1 : turn;
        return std::clamp((share - 1.0 / 6) * 1.5, 0.0, 1.0) * static_cast<double>(terminal.sites.size() - 1);
      }
      const Side out = terminal.sites.front().out;
      return out == Side::Up || out == Side::Down ? to.x : to.y;
    };
    std::vector<Group> groups;
    std::map<int, std::size_t> of_pool;
    for (std::size_t berth : berths) {
      const Berth& made = hookup_.berths[berth];
      std::size_t group = groups.size();
      if (made.pool) group = of_pool.emplace(*made.pool, groups.size()).first->second;
      if (group == groups.size()) groups.emplace_back();
      groups[group].berths.push_back(berth);
      groups[group].sites += made.sites;
      groups[group].wish += wish(berth);
    }
    for (Group& group : groups) {
      group.wish /= static_cast<double>(group.berths.size());
      std::stable_sort(group.berths.begin(), group.berths.end(),
                       [&](std::size_t a, std::size_t b) { return wish(a) < wish(b); });
    }
    std::stable_sort(groups.begin(), groups.end(),
                     [](const Group& a, const Group& b) { return a.wish < b.wish; });
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

  Foot site(const Run::End& end) const {
    const Berth& berth = hookup_.berths[*end.berth];
    return terminals_.at(berth.point)->sites[static_cast<std::size_t>(first_site_[*end.berth] + end.site)];
  }

  struct Tip {
    std::size_t task = 0;
    bool start = false;
    std::size_t berth = 0;
  };

  bool exchange_at(PointId point, const Terminal& terminal) {
    std::vector<Tip> tips;
    for (std::size_t t = 0; t < tasks_.size(); ++t) {
      for (bool start : {true, false}) {
        const Run& run = hookup_.runs[run_of_[t]];
        const auto& berth = (start ? run.start : run.end).berth;
        if (hookup_.berths[*berth].point == point) tips.push_back({t, start, *berth});
      }
    }
    std::vector<Cell> kept;  // by bent lugs
    for (const Run& run : hookup_.runs) {
      if (bent_at(run) && hookup_.berths[*run.end.berth].point == point) kept.push_back(site(run.end).at);
    }
    bool better = false;
    const auto here = [&](const Tip& tip) -> const Foot& {
      return tip.start ? tasks_[tip.task].start : tasks_[tip.task].end;
    };
    for (const Tip& tip : tips) {
      const Berth& berth = hookup_.berths[tip.berth];
      if (!terminal.ring || berth.pool || berth.sites > 1) continue;
      for (const Foot& site : terminal.sites) {
        const bool taken =
            std::any_of(tips.begin(), tips.end(),
                        [&](const Tip& other) { return here(other).at == site.at; }) ||
            std::any_of(kept.begin(), kept.end(), [&](const Cell cell) { return cell == site.at; });
        if (!taken) better = router_.move(tasks_, tip.task, tip.start, site) || better;
      }
    }
    if (tips.size() > 12) return better;
    for (std::size_t i = 0; i < tips.size(); ++i) {
      for (std::size_t j = i + 1; j < tips.size(); ++j) {
        if (tips[i].task == tips[j].task) continue;
        const Berth& a = hookup_.berths[tips[i].berth];
        const Berth& b = hookup_.berths[tips[j].berth];
        const bool one = tips[i].berth == tips[j].berth;
        const bool alike = a.pool == b.pool && a.sites == 1 && b.sites == 1;
        if (one || alike)
          better =
              router_.exchange(tasks_, tips[i].task, tips[i].start, tips[j].task, tips[j].start) || better;
      }
    }
    return better;
  }

  const Harness& harness_;
  const Hookup& hookup_;
  Placement placement_;
  Router router_;
  std::vector<PlacedPart> parts_;
  std::map<PointId, const Terminal*> terminals_;
  std::vector<int> first_site_;  // by berth
  std::vector<Task> tasks_;
  std::vector<std::size_t> run_of_;  // by task
};

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

// Of a lug's sites those that are used, or the one that would be first.
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

// A bent lug, or the way that was found; without one it is a stub at either end.
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

}  // namespace

std::string too_large_to_draw(const Harness& harness) {
  const auto over = [](std::size_t count, std::size_t most, const char* what) {
    return count > most ? fmt::format("it has {} {}; at most {} can be drawn", count, what, most)
                        : std::string();
  };
  std::size_t points = 0;
  for (const Part& part : harness.parts()) points += part.points.size();
  std::string why = over(harness.parts().size(), kMostParts, "parts");
  if (why.empty()) why = over(points, kMostPoints, "points on its parts");
  if (why.empty()) why = over(hook_up(harness).runs.size(), kMostRuns, "wires, leads and touches");
  return why;
}

Layout lay_out(const Harness& harness, const Places& places) {
  if (!too_large_to_draw(harness).empty()) return {};
  const Hookup hookup = hook_up(harness);
  std::vector<std::vector<Shape>> shapes;
  for (std::uint32_t p = 0; p < harness.parts().size(); ++p)
    shapes.push_back(shapes_of(harness, hookup, PartId{p}));
  std::unique_ptr<Trial> best;
  for (int room = 0; room <= kMostRoom; room += 3) {
    auto trial = std::make_unique<Trial>(harness, hookup, shapes, places, room);
    if (!best || trial->unrouted() < best->unrouted()) best = std::move(trial);
    if (best->unrouted() == 0 || best->tired()) break;
  }
  best->polish();
  return best->layout();
}

std::optional<Spot> Layout::spot(const Harness& harness, PointId point) const {
  for (const PlacedPart& part : parts) {
    for (const Terminal& terminal : part.terminals) {
      if (terminal.point == point) return terminal.at;
    }
  }
  if (harness[point].role != PointRole::WireEnd) return std::nullopt;
  for (const Strand& strand : strands) {
    if (strand.kind != Strand::Kind::Leg) continue;
    for (bool start : {true, false}) {
      if ((start ? strand.from : strand.to) != point) continue;
      const Foot& site = start ? strand.start : strand.end;
      return outward(site, (start ? strand.free_start : strand.free_end) ? 1.6 : 0.9);
    }
  }
  return std::nullopt;
}

}  // namespace lugwise
