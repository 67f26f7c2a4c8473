#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "intake/inside/given_once.h"
#include "intake/inside/part_kind.h"

namespace lugwise::intake::inside {
namespace {

constexpr std::size_t kMostCoils = 100;
constexpr std::size_t kMostLeads = 200;

using Pair = std::pair<std::string, std::string>;

// A piezo sounds as a capacitor: no ohms, and no coil beside it.
bool read_piezo(Fields& fields, PickupSpec& spec, PartDesk& desk) {
  for (const char* other : {"dcr", "coils"}) {
    if (!fields.given(other)) continue;
    desk.diagnostics
        .error("N411", fields.key_span(other), fmt::format("a pickup has 'piezo' or '{}', not both", other))
        .note("'piezo' is given", fields.key_span("piezo"));
  }
  double farads = 1e-9;
  if (const Node* node = fields.find("piezo"))
    farads =
        as_value(*node, "'piezo'", "N302", parse_farads, kCapacitance, desk.diagnostics).value_or(farads);
  spec.piezo.emplace(farads, desk.tolerance(fields, desk.tolerances.capacitor));
  spec.coils.push_back({"hot", "ground", 1, 0});
  return true;
}

bool read_coils(Fields& fields, const DeclaredPart& part, double share, PickupSpec& spec, PartDesk& desk) {
  const bool one = fields.given("dcr");
  const bool several = fields.given("coils");
  if (fields.given("piezo")) return read_piezo(fields, spec, desk);
  if (one && several) {
    desk.diagnostics.error("N411", fields.key_span("coils"), "a pickup has 'dcr' or 'coils', not both")
        .note("'dcr' is given", fields.key_span("dcr"));
  } else if (!one && !several) {
    desk.diagnostics.error("N114", part.at, fmt::format("the pickup '{}' needs 'dcr'", part.name))
        .note("or 'coils' where it has several");
  }
  if (!several) {
    const double dcr = one ? desk.ohms(fields, "dcr", "'dcr'") : 1;
    spec.coils.push_back({"hot", "ground", dcr, share});
    return true;
  }
  const Node* coils = fields.find("coils");
  if (!coils || !as_map(*coils, "'coils'", desk.diagnostics)) return false;
  if (coils->pairs() == 0 || coils->pairs() > kMostCoils) {
    desk.diagnostics.error("N417", coils->at, fmt::format("a pickup has from 1 to {} coils", kMostCoils));
    return false;
  }
  bool fine = true;
  GivenOnce<std::string> seen(desk.diagnostics);
  for (std::size_t i = 0; i < coils->pairs(); ++i) {
    const std::string* name = as_name(coils->key(i), "a coil's name", desk.diagnostics);
    if (!name) {
      fine = false;
      continue;
    }
    if (!seen.take(*name, coils->key(i).at, "N113",
                   [&] { return fmt::format("coil '{}' is given twice", *name); }))
      continue;
    const double dcr =
        as_value(coils->value(i), "a coil", "N301", parse_ohms, kResistance, desk.diagnostics).value_or(1);
    spec.coils.push_back({*name + "-start", *name + "-finish", dcr, share});
  }
  return fine;
}

bool read_leads(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec,
                PartDesk& desk) {
  const Node* leads = fields.find("leads");
  if (!leads) return !fields.given("leads");
  if (!as_map(*leads, "'leads'", desk.diagnostics)) return false;
  if (leads->pairs() > kMostLeads) {
    desk.diagnostics.error("N417", leads->at, fmt::format("a pickup has at most {} leads", kMostLeads));
    return false;
  }
  bool fine = true;
  GivenOnce<std::string> seen(desk.diagnostics);
  for (std::size_t i = 0; i < leads->pairs(); ++i) {
    const std::string* lead = as_name(leads->key(i), "a lead's name", desk.diagnostics);
    const std::string* end = lead ? as_text(leads->value(i), "a lead's end", desk.diagnostics) : nullptr;
    if (!lead || !end) {
      fine = false;
      continue;
    }
    if (!seen.take(*lead, leads->key(i).at, "N113",
                   [&] { return fmt::format("lead '{}' is given twice", *lead); }))
      continue;
    if (!contains(ends, *end)) {
      Diagnostic& error = desk.diagnostics.error(
          "N206", leads->value(i).at, fmt::format("the pickup has no end '{}'", end->substr(0, 100)));
      if (*end == "shield") {
        error.note("a pickup with a shield says 'shield: true'");
      } else {
        desk.suggestions.note(error, *end, ends, "its ends are");
      }
      fine = false;
      continue;
    }
    spec.leads.emplace_back(*lead, *end);
  }
  // An end without a lead keeps its own name, which no lead may have.
  for (const auto& [lead, end] : spec.leads) {
    if (!contains(ends, lead) || lead == end) continue;
    const bool has_lead = std::any_of(spec.leads.begin(), spec.leads.end(),
                                      [&lead = lead](const Pair& other) { return other.second == lead; });
    if (has_lead) continue;
    desk.diagnostics.error("N205", seen.first().at(lead),
                           fmt::format("lead '{}' has the name of an end that has no lead", lead));
    fine = false;
  }
  return fine;
}

bool read_inside(const Fields& fields, const std::vector<std::string>& ends, PickupSpec& spec,
                 PartDesk& desk) {
  const Node* inside = fields.find("inside");
  if (!inside) return !fields.given("inside");
  if (!as_list(*inside, "'inside'", desk.diagnostics)) return false;
  std::vector<std::string> known = ends;
  for (const auto& [lead, end] : spec.leads) {
    if (!contains(known, lead)) known.push_back(lead);
  }
  const auto end_of = [&](const std::string& name) {
    if (contains(ends, name)) return name;
    for (const auto& [lead, end] : spec.leads) {
      if (lead == name) return end;
    }
    return name;
  };
  bool fine = true;
  std::set<Pair> joined;
  for (const Node& entry : inside->items) {
    if (entry.kind != Node::Kind::List) {
      desk.diagnostics
          .error("N111", entry.at,
                 fmt::format("a joint inside a pickup must be a list, not {}", described(entry)))
          .note("each joint has brackets of its own: '[[slug-finish, screw-finish]]'");
      fine = false;
      continue;
    }
    if (entry.items.size() < 2) {
      desk.diagnostics.error("N401", entry.at, "a joint needs at least two points");
      fine = false;
      continue;
    }
    std::vector<std::string> points;
    GivenOnce<std::string> seen(desk.diagnostics);
    for (const Node& item : entry.items) {
      const std::string* name = as_text(item, "a point in a joint", desk.diagnostics);
      if (!name) {
        fine = false;
        continue;
      }
      if (!contains(known, *name)) {
        Diagnostic& error = desk.diagnostics.error(
            "N206", item.at, fmt::format("the pickup has no end '{}'", name->substr(0, 100)));
        if (*name == "shield") {
          error.note("a pickup with a shield says 'shield: true'");
        } else {
          desk.suggestions.note(error, *name, known, "its ends are");
        }
        fine = false;
        continue;
      }
      if (!seen.take(end_of(*name), item.at, "N402",
                     [&] { return fmt::format("'{}' is in this joint twice", *name); })) {
        fine = false;
        continue;
      }
      points.push_back(*name);
    }
    for (std::size_t i = 1; i < points.size(); ++i) {
      Pair ends_joined{end_of(points[0]), end_of(points[i])};
      if (ends_joined.second < ends_joined.first) std::swap(ends_joined.first, ends_joined.second);
      if (joined.insert(std::move(ends_joined)).second) continue;
      desk.diagnostics.error("N403", entry.at,
                             fmt::format("'{}' and '{}' are joined already", points[0], points[i]));
      fine = false;
    }
    spec.inside.emplace_back(std::move(points), entry.at);
  }
  return fine;
}

}  // namespace

std::optional<PartId> read_pickup(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(
      *part.body, "a pickup", part.at,
      {"kind", "dcr", "piezo", "tolerance", "shield", "coils", "leads", "inside", "spare", "reach", "place"},
      desk.diagnostics);
  PickupSpec spec;
  const double share = desk.tolerance(fields, desk.tolerances.pickup);
  bool fine = read_coils(fields, part, share, spec, desk);
  if (const Node* shield = fields.find("shield")) {
    const auto flag = as_flag(*shield, "'shield'", desk.diagnostics);
    fine = fine && flag;
    spec.shield = flag.value_or(false);
  }
  if (!fine) return std::nullopt;
  std::vector<std::string> ends;
  for (const CoilSpec& coil : spec.coils) {
    ends.push_back(coil.start);
    ends.push_back(coil.finish);
  }
  if (spec.shield) ends.emplace_back("shield");
  if (!read_leads(fields, ends, spec, desk) || !read_inside(fields, ends, spec, desk)) return std::nullopt;
  const PartId id = desk.builder.add_pickup(part.name, spec, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::intake::inside
