// What is odd in how the netlist is written.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "check/inside/rules.h"

namespace lugwise {
namespace {

// Which lugs touch, however it was written: groups that share a lug are one, and order says nothing.
std::vector<std::vector<PointId>> touching(const Position& position) {
  std::vector<std::vector<PointId>> sets;
  for (std::vector<PointId> set : position.groups) {
    for (bool grown = true; grown;) {
      grown = false;
      for (std::size_t i = 0; i < sets.size(); ++i) {
        if (std::find_first_of(sets[i].begin(), sets[i].end(), set.begin(), set.end()) == sets[i].end())
          continue;
        set.insert(set.end(), sets[i].begin(), sets[i].end());
        sets.erase(sets.begin() + static_cast<std::ptrdiff_t>(i));
        grown = true;
        break;
      }
    }
    std::sort(set.begin(), set.end());
    set.erase(std::unique(set.begin(), set.end()), set.end());
    if (set.size() > 1) sets.push_back(std::move(set));
  }
  std::sort(sets.begin(), sets.end());
  return sets;
}

// Values outside these were never meant: common practice, no source.
struct Usual {
  double low, high;
  const char* thing;
  const char* unit;
};
constexpr Usual kCoil{10, 200e3, "any pickup's coil", "ohms"};
constexpr Usual kTrack{1e3, 20e6, "any pot's track", "ohms"};
constexpr Usual kCapacitor{1e-12, 10e-6, "any capacitor in a guitar", "farads"};

void judge(const Usual& usual, double value, const Part& part, Diagnostics& found) {
  if (value >= usual.low && value <= usual.high) return;
  found.warning("W117", part.at,
                fmt::format("'{}' is {:g} {}, far {} {}: check the letter after the number", part.name, value,
                            usual.unit, value < usual.low ? "below" : "above", usual.thing));
}

}  // namespace

void equal_positions(const Drawing& drawing, Diagnostics& found) {
  for (const Part& part : drawing.harness().parts()) {
    std::map<std::vector<std::vector<PointId>>, const Position*> seen;
    for (const Position& position : part.positions) {
      const auto [before, fresh] = seen.emplace(touching(position), &position);
      if (fresh) continue;
      Diagnostic& warning =
          found.warning("W107", position.at.known() ? position.at : part.at,
                        fmt::format("positions '{}' and '{}' of '{}' are alike: the same lugs touch in both",
                                    before->second->name, position.name, part.name));
      if (before->second->at.known()) {
        warning.note(fmt::format("'{}' is written", before->second->name), before->second->at);
      }
    }
  }
}

void buried_cases(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (const Blob& blob : harness.blobs()) {
    if (blob.inside) continue;
    for (PointId lead : blob.leads) {
      const Point& point = harness[lead];
      if (point.role != PointRole::Surface || !point.part) continue;
      const PartKind kind = harness[*point.part].kind;
      if (kind != PartKind::Pot && kind != PartKind::Switch) continue;
      found.warning("W110", blob.at,
                    fmt::format("'{}' is a surface, not a lead: put it first in its entry, before '{}'",
                                point.name, harness[blob.surface].name));
    }
  }
}

void missing_jack(const Drawing& drawing, Diagnostics& found) {
  if (!drawing.jacks().empty()) return;
  found.warning("W112", {}, "there is no jack, so nothing can be read at a plug: add a part of kind 'jack'");
}

void empty_stages(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (const Stage& stage : harness.stages()) {
    std::vector<PartId> without = stage.without;
    std::sort(without.begin(), without.end());
    without.erase(std::unique(without.begin(), without.end()), without.end());
    if (without.size() < harness.parts().size()) continue;
    found.warning("W116", stage.at,
                  fmt::format("stage '{}' is without every part, so it leaves nothing to probe", stage.name));
  }
}

void odd_values(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (ElementId coil : drawing.coils()) {
    judge(kCoil, harness[coil].ohms.nominal, harness[*harness[coil].part], found);
  }
  for (const Part& part : harness.parts()) {
    if (part.pot) judge(kTrack, part.pot->track.nominal, part, found);
    if (part.kind == PartKind::Capacitor && part.value) judge(kCapacitor, *part.value, part, found);
  }
}

void draining_batteries(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  std::set<std::uint32_t> fed;
  for (const Part& part : harness.parts()) {
    if (part.kind != PartKind::Module) continue;
    for (PointId point : part.points) fed.insert(drawing.net(point));
  }
  for (const Part& part : harness.parts()) {
    if (part.kind != PartKind::Battery || part.points.size() < 2) continue;
    const PointId plus = part.points[0];
    const PointId minus = part.points[1];
    if (!drawing.grounded(minus) || !fed.count(drawing.net(plus))) continue;
    found.warning(
        "W119", part.at,
        fmt::format(
            "'{}' runs down with the plug out, as '{}' is on ground: take it to the jack's ring instead",
            part.name, harness[minus].name));
  }
}

}  // namespace lugwise
