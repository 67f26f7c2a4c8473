#include "drawing/inside/trial.h"

#include <algorithm>

namespace lugwise::drawing::inside {
namespace {

// What a crossing is worth, ten for each cell of a way: by it the worked harnesses have fewer crossings than where parts stand
// wherever their wires are shortest, for ways that are no longer.
constexpr std::uint32_t kCrossing = 250;

// At one point: more ends than these are not exchanged.
constexpr std::size_t kMostEnds = 12;

}  // namespace

Trial::Trial(const Harness& harness, const Hookup& hookup, const Shapes& shapes, const Places& places,
             int room, int most_pushes)
    : harness_(harness),
      hookup_(hookup),
      placement_(place_parts(harness, shapes, places, room)),
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
  router_.route(tasks_, most_pushes);
  router_.improve(tasks_);
}

int Trial::unrouted() const {
  return static_cast<int>(
      std::count_if(tasks_.begin(), tasks_.end(), [](const Task& t) { return t.path.empty(); }));
}

void Trial::polish() {
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

void Trial::cover(const Shape& shape, Cell corner) {
  for (int y = -1; y <= shape.part.height + 1; ++y) {
    for (int x = -1; x <= shape.part.width + 1; ++x) {
      const Cell cell{corner.x + x, corner.y + y};
      const bool in = x >= 0 && y >= 0 && x <= shape.part.width && y <= shape.part.height;
      if (in && shape.blocks(x, y)) router_.block(cell);
      router_.crowd(cell);
    }
  }
}

int Trial::bundle_of(const Run& run) const {
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

int Trial::bent_at(const Run& run) const {
  if (run.kind != Strand::Kind::Lead || !run.start.berth || !run.end.berth) return 0;
  const PointId lug = hookup_.berths[*run.start.berth].point, to = hookup_.berths[*run.end.berth].point;
  if (!harness_[lug].part || harness_[lug].part != harness_[to].part) return 0;
  const Part& part = harness_[*harness_[lug].part];
  if (!part.pot || part.pot->gang || to != part.points.back()) return 0;
  return lug == part.pot->lug1 ? 1 : lug == part.pot->lug3 ? -1 : 0;
}

std::vector<Trial::End> Trial::ends_at(PointId point) const {
  std::vector<End> ends;
  for (std::size_t t = 0; t < tasks_.size(); ++t) {
    for (bool start : {true, false}) {
      const Run& run = hookup_.runs[run_of_[t]];
      const auto& berth = (start ? run.start : run.end).berth;
      if (hookup_.berths[*berth].point == point) ends.push_back({{t, start}, *berth});
    }
  }
  return ends;
}

bool Trial::move_along(const Terminal& ring, const std::vector<End>& ends) {
  std::vector<Cell> kept;  // by bent lugs
  for (const Run& run : hookup_.runs) {
    if (bent_at(run) && hookup_.berths[*run.end.berth].point == ring.point) kept.push_back(site(run.end).at);
  }
  bool better = false;
  for (const End& end : ends) {
    const Berth& berth = hookup_.berths[end.berth];
    if (berth.pool || berth.sites > 1) continue;
    for (const Foot& site : ring.sites) {
      const bool taken =
          std::any_of(ends.begin(), ends.end(),
                      [&](const End& other) { return other.of.foot(tasks_).at == site.at; }) ||
          std::any_of(kept.begin(), kept.end(), [&](const Cell cell) { return cell == site.at; });
      if (!taken) better = router_.move(tasks_, end.of, site) || better;
    }
  }
  return better;
}

bool Trial::exchange_at(PointId point, const Terminal& terminal) {
  const std::vector<End> ends = ends_at(point);
  bool better = terminal.ring && move_along(terminal, ends);
  if (ends.size() > kMostEnds) return better;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    for (std::size_t j = i + 1; j < ends.size(); ++j) {
      if (ends[i].of.task == ends[j].of.task) continue;
      const Berth& a = hookup_.berths[ends[i].berth];
      const Berth& b = hookup_.berths[ends[j].berth];
      const bool one = ends[i].berth == ends[j].berth;
      const bool alike = a.pool == b.pool && a.sites == 1 && b.sites == 1;
      if (one || alike) better = router_.exchange(tasks_, ends[i].of, ends[j].of) || better;
    }
  }
  return better;
}

}  // namespace lugwise::drawing::inside
