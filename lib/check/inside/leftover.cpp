// What is joined to nothing, or only to itself.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "check/inside/rules.h"

namespace lugwise::check::inside {

namespace {

bool coil_end_without_lead(const Drawing& drawing, PointId id) {
  const Harness& harness = drawing.harness();
  const Point& point = harness[id];
  if (point.role != PointRole::Lead || !point.part) return false;
  const Part& part = harness[*point.part];
  if (part.kind != PartKind::Pickup || drawing.named_lead(id)) return false;
  const std::string_view own = drawing.own_name(id);
  return own != "hot" && own != "ground" && own != "shield";
}

bool meant_to_be_joined(const Drawing& drawing, PointId id) {
  const Point& point = drawing.harness()[id];
  return (point.role == PointRole::Lug || point.role == PointRole::Lead) &&
         !coil_end_without_lead(drawing, id);
}

// A lead by the netlist's words has to be soldered somewhere; a coil's end may be joined inside its pickup.
bool has_joint(const Drawing& drawing, PointId id) {
  const Part& part = drawing.harness()[*drawing.harness()[id].part];
  const bool lead = part.kind == PartKind::Pickup && drawing.named_lead(id);
  return lead ? drawing.joined(id) : drawing.joined_anywhere(id);
}

// What is spare is so on purpose; a variable resistor uses two lugs: the far end of its track stays empty.
bool naturally_empty(const Drawing& drawing, const Part& part, PointId id) {
  if (std::find(part.spare.begin(), part.spare.end(), id) != part.spare.end()) return true;
  if (!part.pot) return false;
  const Pot& pot = *part.pot;
  if (id == pot.lug3) return drawing.joined(pot.lug1) && drawing.joined(pot.lug2);
  return false;
}

}  // namespace

void left_over_points(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (const Part& part : harness.parts()) {
    std::vector<std::string> names;
    for (PointId id : part.points) {
      if (!meant_to_be_joined(drawing, id) || has_joint(drawing, id) || naturally_empty(drawing, part, id))
        continue;
      names.push_back(harness[id].name);
    }
    if (names.empty()) continue;
    const bool one = names.size() == 1;
    const char* it = one ? "it" : "them";
    const std::string advice =
        part.kind == PartKind::Switch
            ? fmt::format("solder {0}, or leave {0} out of 'lugs'", it)
            : fmt::format("solder {} where {} belong{}", it, one ? "it" : "they", one ? "s" : "");
    found.warning("W104", part.at,
                  fmt::format("{} {} joined to nothing: {}", quoted_list(names), one ? "is" : "are", advice));
  }
}

void lost_coil_ends(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (PartId pickup : drawing.parts(PartKind::Pickup)) {
    const Part& part = harness[pickup];
    for (PointId id : part.points) {
      if (!coil_end_without_lead(drawing, id) || drawing.joined_anywhere(id)) continue;
      found.warning(
          "W105", part.at,
          fmt::format(
              "the coil's end '{}' has no lead and no joint: give it a lead, or join it under 'inside'",
              harness[id].name));
    }
  }
}

void dead_switch_lugs(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (PartId selector : drawing.parts(PartKind::Switch)) {
    const Part& part = harness[selector];
    std::set<PointId> used;
    for (const Position& position : part.positions) {
      for (const auto& group : position.groups) {
        if (group.size() > 1) used.insert(group.begin(), group.end());
      }
    }
    for (PointId id : part.points) {
      // Two leads or more: an empty lug that serves as a post.
      if (harness[id].role != PointRole::Lug || used.count(id) || drawing.joints_at(id) != 1) continue;
      found.warning("W115", part.at,
                    fmt::format("what is soldered to '{}' meets nothing: no position of '{}' uses that lug",
                                harness[id].name, part.name));
    }
  }
}

void bypassed_parts(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  for (const auto* elements : {&drawing.resistors(), &drawing.capacitors()}) {
    for (ElementId id : *elements) {
      const Element& element = harness[id];
      if (drawing.net(element.a) != drawing.net(element.b)) continue;
      found.warning(
          "W106", harness[*element.part].at,
          fmt::format("both ends of '{}' are on one net, so it does nothing: move '{}' or '{}'",
                      harness[*element.part].name, harness[element.a].name, harness[element.b].name));
    }
  }
}

}  // namespace lugwise::check::inside
