#include "intake/inside/part_reader.h"

#include <fmt/format.h>

#include <array>

#include "intake/inside/part_kind.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

struct Kind {
  std::string_view name;
  PartKind kind;
  std::optional<PartId> (*read)(const DeclaredPart& part, PartDesk& desk);
};

constexpr std::array<Kind, kPartKinds> kKinds{{
    {"pickup", PartKind::Pickup, read_pickup},
    {"pot", PartKind::Pot, read_pot},
    {"switch", PartKind::Switch, read_switch},
    {"jack", PartKind::Jack, read_jack},
    {"resistor", PartKind::Resistor, read_resistor},
    {"capacitor", PartKind::Capacitor, read_capacitor},
    {"inductor", PartKind::Inductor, read_inductor},
    {"metal", PartKind::Metal, read_metal},
    {"battery", PartKind::Battery, read_battery},
    {"module", PartKind::Module, read_module},
}};

std::vector<std::string> kind_names() {
  std::vector<std::string> names;
  for (const Kind& kind : kKinds) names.emplace_back(kind.name);
  return names;
}

// Nothing where it can't be read; the reason is then in the diagnostics.
std::optional<PartId> read_part(const DeclaredPart& part, PartDesk& desk) {
  if (!part.body || !part.kind) return std::nullopt;
  for (const Kind& kind : kKinds) {
    if (kind.kind == *part.kind) return kind.read(part, desk);
  }
  return std::nullopt;
}

}  // namespace

bool PartReader::broken(std::string_view part) const {
  if (all_broken_ || twice_.count(std::string(part))) return true;
  const auto found = desk_.by_name.find(std::string(part));
  return found != desk_.by_name.end() && desk_.parts[found->second].broken;
}

bool PartReader::takes_for_lost(std::string_view part) {
  const std::string name(part);
  if (desk_.by_name.count(name) || lost_.count(name)) return lost_.count(name) > 0;
  if (lost_.size() >= twice_.size() || !desk_.suggestions.afford(desk_.parts.size())) return false;
  std::vector<std::string> names;
  for (const DeclaredPart& each : desk_.parts) names.push_back(each.name);
  const auto nearest = nearest_name(name, names);
  if (nearest && !twice_.count(*nearest)) return false;
  lost_.insert(name);
  return true;
}

void PartReader::read(const Node& parts) {
  all_broken_ = true;
  if (!as_map(parts, "'parts'", desk_.diagnostics)) return;
  if (parts.pairs() == 0) {
    desk_.diagnostics.error("N417", parts.at, "a harness has at least one part");
    return;
  }
  all_broken_ = false;
  for (std::size_t i = 0; i < parts.pairs(); ++i) declare(parts.key(i), parts.value(i));
  for (DeclaredPart& part : desk_.parts) part.broken = !read_part(part, desk_);
}

void PartReader::declare(const Node& key, const Node& body) {
  const std::string* name = as_name(key, "a part's name", desk_.diagnostics);
  if (!name) return;
  if (!names_.take(*name, key.at, "N113", [&] { return fmt::format("part '{}' is given twice", *name); })) {
    twice_.insert(*name);
    return;
  }
  desk_.by_name.emplace(*name, desk_.parts.size());
  DeclaredPart part;
  part.name = *name;
  part.at = key.at;
  part.id = PartId{static_cast<std::uint32_t>(desk_.parts.size())};
  if (body.kind == Node::Kind::Nothing) {
    desk_.diagnostics.error("N115", key.at, fmt::format("nothing is given for '{}'", *name));
  } else if (as_map(body, "a part", desk_.diagnostics)) {
    part.body = &body;
    read_kind(body, part);
  }
  desk_.parts.push_back(std::move(part));
}

void PartReader::read_kind(const Node& body, DeclaredPart& part) {
  const Node* kind = nullptr;
  for (std::size_t i = 0; i < body.pairs() && !kind; ++i) {
    if (body.key(i).kind == Node::Kind::Text && body.key(i).text == "kind") kind = &body.value(i);
  }
  if (!kind) {
    Diagnostic& error =
        desk_.diagnostics.error("N114", part.at, fmt::format("part '{}' needs 'kind'", part.name));
    for (std::size_t i = 0; i < body.pairs(); ++i) {
      const std::string& text = body.key(i).text;
      if (text.starts_with("kind ")) {
        error.message = "a colon is missing after 'kind'";
        error.note(fmt::format("write 'kind: {}'", text.substr(5)));
      } else if (text.starts_with("kind:")) {
        error.note(fmt::format("a space is needed after the colon: 'kind: {}'", text.substr(5)));
      } else if (nearest_name(text, {"kind"})) {
        error.note(fmt::format("'{}' is given", text), body.key(i).at);
      }
    }
  } else if (kind->kind == Node::Kind::Nothing) {
    desk_.diagnostics.error("N115", kind->at, "nothing is given for 'kind'");
  } else if (const std::string* text = as_text(*kind, "'kind'", desk_.diagnostics)) {
    for (const Kind& known : kKinds) {
      if (known.name == *text) part.kind = known.kind;
    }
    if (!part.kind) {
      desk_.suggestions.note(
          desk_.diagnostics.error("N202", kind->at, fmt::format("no such kind: '{}'", text->substr(0, 100))),
          *text, kind_names(), "the kinds are");
    }
  }
}

}  // namespace lugwise::intake::inside
