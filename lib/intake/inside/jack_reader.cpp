#include <fmt/format.h>

#include <algorithm>

#include "intake/inside/given_once.h"
#include "intake/inside/part_kind.h"

namespace lugwise::intake::inside {
namespace {

bool read_rests(const Fields& fields, JackSpec& spec, PartDesk& desk) {
  const Node* rests = fields.find("rests");
  if (!rests) return !fields.given("rests");
  if (!as_map(*rests, "'rests'", desk.diagnostics)) return false;
  bool fine = true;
  GivenOnce<std::string> seen(desk.diagnostics);
  for (std::size_t i = 0; i < rests->pairs(); ++i) {
    const Node& key = rests->key(i);
    const std::string* contact = as_text(key, "a contact", desk.diagnostics);
    const std::string* rest = contact ? as_name(rests->value(i), "a rest's name", desk.diagnostics) : nullptr;
    if (!contact || !rest) {
      fine = false;
      continue;
    }
    if (!contains(spec.contacts, *contact)) {
      desk.suggestions.note(
          desk.diagnostics.error("N206", key.at,
                                 fmt::format("the jack has no contact '{}'", contact->substr(0, 100))),
          *contact, spec.contacts, "its contacts are");
      fine = false;
      continue;
    }
    if (!seen.take(*contact, key.at, "N113",
                   [&] { return fmt::format("key '{}' is given twice", *contact); })) {
      fine = false;
      continue;
    }
    const bool taken = contains(spec.contacts, *rest) || *rest == "plug-tip" || *rest == "plug-sleeve" ||
                       (spec.stereo && *rest == "plug-ring") ||
                       std::any_of(spec.rests.begin(), spec.rests.end(),
                                   [&](const auto& other) { return other.second == *rest; });
    if (taken) {
      desk.diagnostics.error("N205", rests->value(i).at,
                             fmt::format("the jack has a point '{}' already", *rest));
      fine = false;
      continue;
    }
    spec.rests.emplace_back(*contact, *rest);
  }
  return fine;
}

}  // namespace

std::optional<PartId> read_jack(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a jack", part.at,
                {"kind", "contacts", "plug", "rests", "spare", "reach", "place"}, desk.diagnostics);
  fields.call(part.name);
  JackSpec spec;
  if (fields.given("contacts")) {
    auto contacts = desk.names(fields, "contacts", "contact");
    if (!contacts) return std::nullopt;
    const bool known = std::all_of(contacts->begin(), contacts->end(), [](const std::string& c) {
      return c == "tip" || c == "ring" || c == "sleeve";
    });
    if (!known || !contains(*contacts, "tip") || !contains(*contacts, "sleeve")) {
      desk.diagnostics.error("N413", fields.find("contacts")->at,
                             "a jack's contacts must be [tip, sleeve] or [tip, ring, sleeve]");
      return std::nullopt;
    }
    spec.contacts = std::move(*contacts);
  }
  if (const Node* plug = fields.find("plug")) {
    const std::string* text = as_text(*plug, "'plug'", desk.diagnostics);
    spec.stereo = text && *text == "stereo";
    if (text && *text != "stereo" && *text != "mono") {
      desk.suggestions.note(
          desk.diagnostics.error("N207", plug->at, fmt::format("no such plug: '{}'", text->substr(0, 100))),
          *text, {"mono", "stereo"}, "a plug is");
    }
    if (spec.stereo && !fields.given("contacts")) spec.contacts = {"tip", "ring", "sleeve"};
    if (spec.stereo && !contains(spec.contacts, "ring")) {
      desk.diagnostics.error("N411", plug->at,
                             "a jack for a stereo plug has a ring: 'contacts: [tip, ring, sleeve]'");
    }
  }
  if (!read_rests(fields, spec, desk)) return std::nullopt;
  const PartId id = desk.builder.add_jack(part.name, spec, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::intake::inside
