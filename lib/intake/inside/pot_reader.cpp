#include <fmt/format.h>

#include <algorithm>

#include "intake/inside/part_kind.h"
#include "source/nearest.h"

namespace lugwise::inside {
namespace {

constexpr Limits kShare{0, 1, "from 0% to 100%"};
constexpr Limits kKnob{0, 10, "from 0 to 10"};

void read_taper(const Fields& fields, PotSpec& spec, PartDesk& desk) {
  const Node* taper = fields.find("taper");
  if (!taper) return;
  if (taper->kind == Node::Kind::List) {
    if (taper->items.size() < 2 || taper->items.size() > 1000) {
      desk.diagnostics.error(
          "N417", taper->at,
          "a list of shares has from 2 to 1000 entries, the first for the knob at 0, the last for 10");
      return;
    }
    spec.taper = Taper::Listed;
    for (const Node& item : taper->items) {
      spec.shares.push_back(
          as_value(item, "a share of the track", "N303", parse_share, kShare, desk.diagnostics).value_or(0));
    }
    return;
  }
  const std::string* text = as_text(*taper, "'taper'", desk.diagnostics);
  if (!text) return;
  if (*text == "linear") {
    spec.taper = Taper::Linear;
  } else if (*text == "audio") {
    spec.taper = Taper::Audio;
  } else if (*text == "reverse-audio") {
    spec.taper = Taper::ReverseAudio;
  } else {
    Diagnostic& error =
        desk.diagnostics.error("N207", taper->at, fmt::format("no such taper: '{}'", text->substr(0, 100)));
    if (*text == "log" || *text == "logarithmic") {
      error.note("did you mean 'audio'?");
    } else if (*text == "lin" || *text == "line") {
      error.note("did you mean 'linear'?");
    } else {
      desk.suggestions.note(error, *text, {"linear", "audio", "reverse-audio"},
                            "the tapers are, besides a list of shares,");
    }
  }
}

void read_gang(const Fields& fields, const DeclaredPart& part, PotSpec& spec, PartDesk& desk) {
  const Node* node = fields.find("gang");
  if (!node) return;
  const std::string* text = as_text(*node, "'gang'", desk.diagnostics);
  if (!text) return;
  spec.gang = part.id;  // whatever it is, this pot has no case of its own
  if (fields.given("normal")) {
    desk.diagnostics.error("N411", fields.key_span("normal"), "a pot with 'gang' has no 'normal' of its own")
        .note(fmt::format("it stands where '{}' stands", *text));
  }
  const auto found = desk.by_name.find(*text);
  if (found == desk.by_name.end()) {
    Diagnostic& error =
        desk.diagnostics.error("N203", node->at, fmt::format("no such part: '{}'", text->substr(0, 100)));
    if (!desk.suggestions.afford(desk.parts.size())) return;
    std::vector<std::string> pots;
    for (const DeclaredPart& other : desk.parts) {
      if (other.kind == PartKind::Pot && other.name != part.name) pots.push_back(other.name);
    }
    if (const auto nearest = nearest_name(*text, pots)) {
      error.note(fmt::format("nearest name is '{}', declared", *nearest),
                 desk.parts[desk.by_name.at(*nearest)].at);
    }
    return;
  }
  const DeclaredPart& partner = desk.parts[found->second];
  spec.gang = partner.id;
  if (!partner.kind) return;  // reported there
  if (&partner == &part) {
    desk.diagnostics.error("N410", node->at, "a pot can't be on its own shaft");
  } else if (*partner.kind != PartKind::Pot) {
    desk.diagnostics.error("N410", node->at, fmt::format("'{}' is not a pot", *text))
        .note("declared", partner.at);
  } else {
    for (std::size_t i = 0; i < partner.body->pairs(); ++i) {
      if (partner.body->key(i).text != "gang") continue;
      desk.diagnostics.error("N410", node->at, fmt::format("'{}' is itself on another pot's shaft", *text))
          .note("name the pot that has the case; its gang is given", partner.body->key(i).at);
      return;
    }
  }
}

}  // namespace

std::optional<PartId> read_pot(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(*part.body, "a pot", part.at,
                {"kind", "track", "tolerance", "taper", "no-load", "normal", "gang", "reach", "place"},
                desk.diagnostics);
  PotSpec spec;
  spec.track = desk.ohms(fields, "track", "'track'");
  spec.tolerance = desk.tolerance(fields, desk.tolerances.pot);
  read_taper(fields, spec, desk);
  if (const Node* node = fields.find("no-load"))
    spec.no_load = as_flag(*node, "'no-load'", desk.diagnostics).value_or(false);
  if (const Node* node = fields.find("normal")) {
    spec.normal = as_value(*node, "'normal'", "N308", parse_number, kKnob, desk.diagnostics).value_or(10);
  }
  read_gang(fields, part, spec, desk);
  const PartId id = desk.builder.add_pot(part.name, spec, part.at);
  desk.keep_where(fields, id);
  return id;
}

}  // namespace lugwise::inside
