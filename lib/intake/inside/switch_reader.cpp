#include <fmt/format.h>

#include <unordered_set>

#include "intake/inside/given_once.h"
#include "intake/inside/part_kind.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostPositions = 1000;

// The lugs of a group that touch, of those that the switch has.
bool read_group(const Node& group, const SwitchSpec& spec, const std::unordered_set<std::string>& lugs,
                PartDesk& desk, std::vector<std::string>& touching) {
  bool fine = true;
  GivenOnce<std::string> in_group(desk.diagnostics);
  for (const Node& item : group.items) {
    const std::string* lug = as_text(item, "a lug", desk.diagnostics);
    if (!lug) {
      fine = false;
      continue;
    }
    if (!lugs.count(*lug)) {
      desk.suggestions.note(
          desk.diagnostics.error("N206", item.at,
                                 fmt::format("the switch has no lug '{}'", lug->substr(0, 100))),
          *lug, spec.lugs, "its lugs are");
      fine = false;
      continue;
    }
    if (!in_group.take(*lug, item.at, "N402",
                       [&] { return fmt::format("lug '{}' is in this group twice", *lug); })) {
      fine = false;
      continue;
    }
    touching.push_back(*lug);
  }
  return fine;
}

bool read_groups(const Node& groups, const SwitchSpec& spec, const std::unordered_set<std::string>& lugs,
                 PartDesk& desk, SwitchSpec::Place& place) {
  bool fine = true;
  for (const Node& group : groups.items) {
    if (group.kind != Node::Kind::List) {
      desk.diagnostics
          .error("N111", group.at, fmt::format("a group of lugs must be a list, not {}", described(group)))
          .note("each group of lugs that touch has brackets of its own: '[[a, b]]'");
      return false;
    }
    if (group.items.size() < 2) {
      desk.diagnostics.error("N412", group.at, "a group needs at least two lugs that touch");
      fine = false;
      continue;
    }
    std::vector<std::string> touching;
    fine = read_group(group, spec, lugs, desk, touching) && fine;
    place.groups.push_back(std::move(touching));
  }
  return fine;
}

bool read_positions(Fields& fields, SwitchSpec& spec, PartDesk& desk) {
  const Node* positions = fields.need("positions");
  if (!positions || !as_map(*positions, "'positions'", desk.diagnostics)) return false;
  if (positions->pairs() == 0 || positions->pairs() > kMostPositions) {
    desk.diagnostics.error("N417", positions->at,
                           fmt::format("a switch has from 1 to {} positions", kMostPositions));
    return false;
  }
  const std::unordered_set<std::string> lugs(spec.lugs.begin(), spec.lugs.end());
  GivenOnce<std::string> seen(desk.diagnostics);
  bool fine = true;
  for (std::size_t i = 0; i < positions->pairs(); ++i) {
    const Node& key = positions->key(i);
    const Node& groups = positions->value(i);
    const std::string* name = as_name(key, "a position's name", desk.diagnostics);
    if (name)
      seen.take(*name, key.at, "N113", [&] { return fmt::format("position '{}' is given twice", *name); });
    if (groups.kind == Node::Kind::Nothing) {
      desk.diagnostics.error("N115", key.at, fmt::format("nothing is given for '{}'", key.text))
          .note("where no lugs touch, write '[]'");
      fine = false;
      continue;
    }
    if (!name || !as_list(groups, "a position", desk.diagnostics)) {
      fine = false;
      continue;
    }
    SwitchSpec::Place place{*name, {}, key.at};
    fine = read_groups(groups, spec, lugs, desk, place) && fine;
    spec.positions.push_back(std::move(place));
  }
  return fine;
}

// The pot whose shaft works the switch.
std::optional<PartId> read_mounted(const Node& node, const DeclaredPart& part, PartDesk& desk) {
  const std::string* text = as_text(node, "'mounted'", desk.diagnostics);
  if (!text) return std::nullopt;
  const DeclaredPart* pot = desk.find(*text);
  if (pot && pot->kind == PartKind::Pot) return pot->id;
  if (pot && !pot->kind) return std::nullopt;  // reported there
  if (pot) {
    desk.diagnostics.error("N410", node.at, fmt::format("'{}' is not a pot", *text))
        .note("declared", pot->at);
  } else {
    desk.unknown_pot(node, part);
  }
  return std::nullopt;
}

}  // namespace

std::optional<PartId> read_switch(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a switch", part.at,
                {"kind", "lugs", "positions", "mounted", "spare", "reach", "place"}, desk.diagnostics);
  fields.call(part.name);
  SwitchSpec spec;
  auto lugs = desk.names(fields, "lugs", "lug");
  if (!lugs) {
    fields.need("positions");
    return std::nullopt;
  }
  spec.lugs = std::move(*lugs);
  // Bad positions leave the lugs as they are.
  if (!read_positions(fields, spec, desk)) spec.positions.clear();
  if (const Node* mounted = fields.find("mounted")) spec.mounted = read_mounted(*mounted, part, desk);
  const PartId id = desk.builder.add_switch(part.name, spec, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::intake::inside
