#include "intake/inside/heard_reader.h"

#include <fmt/format.h>

#include <string>
#include <vector>

#include "hearing/sound.h"
#include "intake/inside/fields.h"

namespace lugwise::intake::inside {

std::optional<Heard> HeardReader::read(const Node& node) {
  if (!as_map(node, "what was heard", desk_.diagnostics)) return std::nullopt;
  Fields fields(node, "what was heard", node.at, {"pickup", "control", "set", "is", "aside"},
                desk_.diagnostics);
  Heard heard;
  heard.at = node.at;
  heard.setting = Setting(desk_.harness);
  heard.set_given = fields.given("set");
  desk_.read_set(fields.find("set"), heard.setting);
  if (const Node* pickup = fields.find("pickup")) heard.pickup = read_pickup(*pickup);
  if (const Node* control = fields.find("control")) heard.control = read_control(*control);
  if (const Node* aside = fields.find("aside")) {
    if (const std::string* why = as_text(*aside, "'aside'", desk_.diagnostics))
      heard.aside = find_aside(*why);
  }
  const Node* is = fields.need("is");
  const std::string* text = is ? as_text(*is, "'is'", desk_.diagnostics) : nullptr;
  if (text) {
    if (const auto known = find_sound(*text)) {
      heard.sound = *known;
    } else {
      const std::vector<std::string> words = sound_words();
      Diagnostic& error =
          desk_.diagnostics.error("N207", is->at, fmt::format("no such sound: '{}'", text->substr(0, 100)));
      desk_.suggestions.note(error, *text, words, "'is' may be");
    }
  }
  return heard;
}

std::optional<PartId> HeardReader::read_pickup(const Node& node) {
  return read_complained(node, "pickup", "'pickup'",
                         [](const Part& part) { return part.kind == PartKind::Pickup; });
}

std::optional<PartId> HeardReader::read_control(const Node& node) {
  return read_complained(node, "pot or switch", "'control'", can_be_complained_of);
}

std::optional<PartId> HeardReader::read_complained(const Node& node, std::string_view kind,
                                                   std::string_view key, bool (*fits)(const Part&)) {
  const std::string* text = as_text(node, key, desk_.diagnostics);
  if (!text) return std::nullopt;
  const auto part = desk_.harness.find_part(*text);
  if (part && fits(desk_.harness[*part])) return part;
  std::vector<std::string> fitting;
  for (const Part& one : desk_.harness.parts()) {
    if (fits(one)) fitting.push_back(one.name);
  }
  Diagnostic& error =
      desk_.diagnostics.error("R203", node.at,
                              part ? fmt::format("'{}' is not a {}", *text, kind)
                                   : fmt::format("no such {}: '{}'", kind, text->substr(0, 100)));
  desk_.suggestions.note(error, *text, fitting,
                         kind == "pickup" ? "the pickups are" : "the pots and switches are");
  return std::nullopt;
}

}  // namespace lugwise::intake::inside
