#include <fmt/format.h>

#include <algorithm>

#include "intake/inside/part_kind.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
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

// The pot that another one's gang names; null where it names none.
const DeclaredPart* on_the_shaft_of(const DeclaredPart& pot, const PartDesk& desk) {
  if (!pot.body || pot.kind != PartKind::Pot) return nullptr;
  for (std::size_t i = 0; i < pot.body->pairs(); ++i) {
    if (pot.body->key(i).text == "gang") return desk.find(pot.body->value(i).text);
  }
  return nullptr;
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
  const DeclaredPart* partner = desk.find(*text);
  if (!partner) return desk.unknown_pot(*node, part);
  // Of several on one shaft each may name the one before it: the one that has the case is meant.
  std::size_t steps = 0;
  while (const DeclaredPart* next = on_the_shaft_of(*partner, desk)) {
    if (partner->name == part.name || ++steps > desk.parts.size()) break;
    partner = next;
  }
  spec.gang = partner->id;
  if (!partner->kind) return;  // reported there
  if (partner->name == part.name || steps > desk.parts.size()) {
    desk.diagnostics.error("N410", node->at, "a pot can't be on its own shaft");
  } else if (*partner->kind != PartKind::Pot) {
    desk.diagnostics.error("N410", node->at, fmt::format("'{}' is not a pot", partner->name))
        .note("declared", partner->at);
  }
}

}  // namespace

std::optional<PartId> read_pot(const DeclaredPart& part, PartDesk& desk) {
  Fields fields(
      *part.body, "a pot", part.at,
      {"kind", "track", "tolerance", "taper", "no-load", "normal", "gang", "spare", "reach", "place"},
      desk.diagnostics);
  fields.call(part.name);
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

}  // namespace lugwise::intake::inside
