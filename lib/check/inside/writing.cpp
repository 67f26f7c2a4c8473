// What is odd in how the netlist is written.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "check/inside/rules.h"

namespace lugwise::check::inside {

namespace {

// Which lugs touch, however it was written: each lug with the first of those it touches. Groups that share a lug are one,
// and order says nothing.
std::vector<std::pair<PointId, PointId>> touching(const Position& position) {
  std::vector<PointId> lugs;
  for (const auto& group : position.groups) lugs.insert(lugs.end(), group.begin(), group.end());
  std::sort(lugs.begin(), lugs.end());
  lugs.erase(std::unique(lugs.begin(), lugs.end()), lugs.end());
  const auto number = [&](PointId lug) {
    return PointId{
        static_cast<std::uint32_t>(std::lower_bound(lugs.begin(), lugs.end(), lug) - lugs.begin())};
  };
  Clusters sets(lugs.size());
  for (const auto& group : position.groups) {
    for (PointId lug : group) sets.join(number(group.front()), number(lug));
  }
  std::vector<std::optional<PointId>> first(lugs.size());  // of each set
  std::vector<std::pair<PointId, PointId>> found;
  for (PointId lug : lugs) {
    std::optional<PointId>& known = first[sets.of(number(lug))];
    if (known) found.emplace_back(*known, lug);
    if (!known) known = lug;
  }
  return found;
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
  for (PartId selector : drawing.parts(PartKind::Switch)) {
    const Part& part = drawing.harness()[selector];
    std::map<std::vector<std::pair<PointId, PointId>>, const Position*> seen;
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
    if (harness[coil].kind != ElementKind::Coil) continue;
    judge(kCoil, harness[coil].ohms.nominal, harness[*harness[coil].part], found);
  }
  for (PartId pot : drawing.parts(PartKind::Pot))
    judge(kTrack, harness[pot].pot->track.nominal, harness[pot], found);
  for (PartId capacitor : drawing.parts(PartKind::Capacitor)) {
    judge(kCapacitor, harness[capacitor].value.value_or(kCapacitor.low), harness[capacitor], found);
  }
}

void draining_batteries(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  std::set<std::uint32_t> fed;
  for (PartId module : drawing.parts(PartKind::Module)) {
    for (PointId point : harness[module].points) fed.insert(drawing.net(point));
  }
  for (PartId battery : drawing.parts(PartKind::Battery)) {
    const Part& part = harness[battery];
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

}  // namespace lugwise::check::inside
