#include "handling/handling.h"

#include <algorithm>
#include <map>
#include <set>

#include "handling/capacity.h"

namespace lugwise {
namespace {

bool missing(const Harness& harness, std::optional<std::size_t> stage, PartId part) {
  if (!stage) return false;
  const auto& without = harness.stages()[*stage].without;
  return std::find(without.begin(), without.end(), part) != without.end();
}

// Every combination of the switches' positions, or each switch by itself where there are too many.
std::vector<Setting> switch_settings(const Harness& harness, const std::vector<PartId>& switches) {
  std::size_t combinations = 1;
  for (PartId part : switches) {
    combinations = std::min(kMostTogether + 1, combinations * harness[part].positions.size());
  }
  std::vector<Setting> settings{Setting(harness)};
  for (PartId part : switches) {
    const auto positions = static_cast<std::uint16_t>(harness[part].positions.size());
    const std::vector<Setting> before =
        combinations > kMostTogether ? std::vector{settings.front()} : settings;
    for (std::uint16_t position = 1; position < positions; ++position) {
      for (Setting setting : before) {
        setting.select(part, position);
        settings.push_back(setting);
      }
    }
  }
  return settings;
}

// How many of these are not among those.
int among_not_in(const std::vector<PointId>& these, const std::vector<PointId>& those) {
  return static_cast<int>(std::count_if(these.begin(), these.end(), [&](PointId point) {
    return std::find(those.begin(), those.end(), point) == those.end();
  }));
}

}  // namespace

bool on_bench(const Harness& harness, std::optional<std::size_t> stage) {
  bool instrument = false;
  bool hung = false;  // the metal that an instrument has
  bool left_out = false;
  for (std::uint32_t i = 0; i < harness.parts().size(); ++i) {
    const Part& part = harness.parts()[i];
    const bool there = !missing(harness, stage, PartId{i});
    instrument = instrument || (there && (part.kind == PartKind::Jack || part.kind == PartKind::Metal));
    if (part.kind != PartKind::Metal) continue;
    const bool bridge = std::any_of(part.points.begin(), part.points.end(), [&](PointId point) {
      const std::string& name = harness[point].name;
      return name.ends_with(".bridge") || name.ends_with(".strings");
    });
    if (bridge) (there ? hung : left_out) = true;
  }
  return !instrument || (left_out && !hung);
}

std::vector<Access> accesses(const Harness& harness, std::optional<std::size_t> stage) {
  if (on_bench(harness, stage)) return {{1, "bench"}};
  std::vector<Access> list{{0, "outside"}};
  bool cavity = false;
  std::vector<std::string> covers;
  for (const Point& point : harness.points()) {
    if (point.reach.kind == ReachKind::Cavity) cavity = true;
    const bool fresh = std::find(covers.begin(), covers.end(), point.reach.cover) == covers.end();
    if (point.reach.kind == ReachKind::Cover && fresh) covers.push_back(point.reach.cover);
  }
  if (cavity) list.push_back({1, "cavity"});
  int depth = 2;
  for (const std::string& cover : covers) list.push_back({depth++, cover});
  return list;
}

std::optional<Access> access_to(const Harness& harness, PointId id, std::optional<std::size_t> stage) {
  const Point& point = harness[id];
  if (!harness.probeable(id)) return std::nullopt;
  if (on_bench(harness, stage)) return Access{1, "bench"};
  if (point.reach.kind == ReachKind::Outside) return Access{0, "outside"};
  if (point.reach.kind == ReachKind::Cavity) return Access{1, "cavity"};
  for (const Access& access : accesses(harness)) {
    if (access.name == point.reach.cover) return access;
  }
  return std::nullopt;
}

std::vector<std::vector<ElementId>> measured_alone(const Harness& harness) {
  const auto in_reach = [&](PointId point) { return harness.probeable(point); };
  std::vector<std::vector<ElementId>> parts;
  std::map<PartId, std::vector<ElementId>> together;
  for (std::uint32_t i = 0; i < harness.elements().size(); ++i) {
    const Element& element = harness.elements()[i];
    const bool coil = element.kind == ElementKind::Coil;
    if (!coil && element.kind != ElementKind::Track && element.kind != ElementKind::Resistor) continue;
    if (std::all_of(element.points.begin(), element.points.end(), in_reach)) {
      parts.push_back({ElementId{i}});
    } else if (coil) {
      together[*element.part].push_back(ElementId{i});
    }
  }
  for (const auto& [pickup, coils] : together) {
    const std::vector<PointId>& points = harness[pickup].points;
    if (std::count_if(points.begin(), points.end(), in_reach) >= 2) parts.push_back(coils);
  }
  return parts;
}

std::vector<PointId> reachable(const Harness& harness, std::optional<std::size_t> stage, int depth) {
  const bool bench = on_bench(harness, stage);
  std::map<std::string, int> depths;
  for (const Access& access : accesses(harness)) depths[access.name] = access.depth;
  std::vector<PointId> found;
  for (std::uint32_t i = 0; i < harness.points().size(); ++i) {
    const PointId id{i};
    const Point& point = harness[id];
    if (!harness.probeable(id)) continue;
    if (point.part && missing(harness, stage, *point.part)) continue;
    int needs = 0;
    if (point.reach.kind == ReachKind::Cavity) needs = 1;
    if (point.reach.kind == ReachKind::Cover) needs = depths[point.reach.cover];
    if (bench) needs = 1;
    if (needs <= depth) found.push_back(id);
  }
  return found;
}

std::vector<Setting> settings_to_try(const Harness& harness, std::optional<std::size_t> stage) {
  std::vector<PartId> pots;
  std::vector<PartId> switches;
  std::vector<PartId> jacks;
  for (PartId control : harness.controls()) {
    if (missing(harness, stage, control)) continue;
    const PartKind kind = harness[control].kind;
    (kind == PartKind::Pot ? pots : kind == PartKind::Switch ? switches : jacks).push_back(control);
  }
  std::vector<Setting> settings;
  const auto add = [&](const Setting& setting) {
    if (std::find(settings.begin(), settings.end(), setting) == settings.end()) settings.push_back(setting);
  };
  const std::vector<Setting> bases = switch_settings(harness, switches);
  for (const Setting& base : bases) add(base);
  for (const Setting& base : bases) {
    for (PartId pot : pots) {
      for (double stop : {0.0, 10.0}) {
        Setting setting = base;
        setting.turn(pot, stop);
        add(setting);
      }
    }
    for (double stop : {0.0, 10.0}) {
      Setting setting = base;
      for (PartId pot : pots) setting.turn(pot, stop);
      add(setting);
    }
  }
  for (const Setting& base : bases) {
    for (PartId jack : jacks) {
      Setting setting = base;
      setting.pull_plug(jack);
      add(setting);
    }
  }
  return settings;
}

int plugs_among(const Harness& harness, PointId a, PointId b) {
  return (harness[a].role == PointRole::Plug ? 1 : 0) + (harness[b].role == PointRole::Plug ? 1 : 0);
}

int turns_between(const Harness& harness, const Setting& from, const Setting& to) {
  int turns = 0;
  for (std::uint32_t i = 0; i < harness.parts().size(); ++i)
    turns += harness.is_control(PartId{i}) && !from.alike(to, PartId{i}) ? 1 : 0;
  return turns;
}

double seconds_to_read(const Harness& harness, const Costs& costs, const Hands& hands, const Hands& reading) {
  return costs.read + seconds_to_reach(harness, costs, hands, reading);
}

double seconds_to_reach(const Harness& harness, const Costs& costs, const Hands& hands,
                        const Hands& reading) {
  double seconds = costs.turn_control * turns_between(harness, hands.setting, reading.setting);
  if (reading.depth >= 1 && hands.depth < 1) seconds += costs.open_cavity;
  if (reading.depth >= 2 && hands.depth < reading.depth) seconds += costs.open_cover;
  if (hands.range != 0 && reading.range != 0 && hands.range != reading.range) seconds += costs.change_range;
  for (const std::optional<PointId>& point : {reading.a, reading.b}) {
    if (point && !hands.hold(*point)) seconds += costs.move_probe;
  }
  return seconds + costs.lift * among_not_in(reading.lifted, hands.lifted) +
         costs.refit * among_not_in(hands.lifted, reading.lifted);
}

}  // namespace lugwise
