#include "intake/inside/sheet_desk.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <unordered_map>

#include "intake/inside/fields.h"
#include "intake/place.h"

namespace lugwise::intake::inside {

SheetDesk::SheetDesk(const Netlist& netlist, Diagnostics& heard, const Meter* named)
    : harness(netlist.harness),
      diagnostics(heard),
      points(netlist.harness, nullptr, heard),
      meter(named ? *named : netlist.meter.value_or(assumed_meter())),
      meter_named(named != nullptr),
      leads(leads_of(netlist.harness)) {}

// Puts the controls of a `set` where it says.
void SheetDesk::read_set(const Node* node, Setting& setting) {
  if (!node || !as_map(*node, "'set'", diagnostics)) return;
  std::unordered_map<std::string, Span> seen;
  for (std::size_t i = 0; i < node->pairs(); ++i) {
    const Node& key = node->key(i);
    const Node& value = node->value(i);
    const std::string* control = as_text(key, "a control", diagnostics);
    if (!control) continue;
    const auto [before, fresh] = seen.emplace(*control, key.at);
    if (!fresh) {
      diagnostics.error("N113", key.at, fmt::format("key '{}' is given twice", *control))
          .note("first given", before->second);
      continue;
    }
    if (value.kind == Node::Kind::Nothing) {
      diagnostics.error("N115", key.at, fmt::format("nothing is given for '{}'", *control));
      continue;
    }
    const std::string* place = as_text(value, "a control's place", diagnostics);
    if (!place) continue;
    auto refused = apply_setting(harness, *control, *place, setting, Suggest::Nothing);
    if (!refused) continue;
    if (suggestions.afford(harness.parts().size()))
      refused = apply_setting(harness, *control, *place, setting);
    Diagnostic& error = diagnostics.error(refused->about_place ? "R202" : "R201",
                                          refused->about_place ? value.at : key.at, refused->refusal.problem);
    if (!refused->refusal.hint.empty())
      error.note(refused->refusal.hint + (refused->refusal.declared.known() ? " in the netlist" : ""),
                 refused->refusal.declared);
  }
}

std::vector<PointId> SheetDesk::read_points(const Node* node, std::string_view what) {
  std::vector<PointId> found;
  const auto texts = node ? as_texts(*node, what, diagnostics) : std::nullopt;
  if (!texts) return found;
  if (texts->empty()) diagnostics.error("R402", node->at, fmt::format("{} names no point", what));
  for (const Node* item : *texts) {
    const auto point = points.point(*item);
    if (!point) continue;
    if (std::find(found.begin(), found.end(), *point) != found.end()) {
      diagnostics.error("N402", item->at, fmt::format("'{}' is in this list twice", item->text));
      continue;
    }
    found.push_back(*point);
  }
  return found;
}

// Whether a probe can stand there now; reports why not.
bool SheetDesk::can_be_probed(PointId id, const Node& node, const Setting& setting) {
  const Point& point = harness[id];
  if (point.role == PointRole::Inside) {
    diagnostics.error("R204", node.at,
                      fmt::format("'{}' is inside the pickup, where no probe gets", node.text));
    return false;
  }
  if (point.role == PointRole::Plug && !setting.plugged(*point.part)) {
    diagnostics.error("R204", node.at, fmt::format("'{}' is not there with the plug out", node.text));
    return false;
  }
  if (!stage || !point.part) return true;
  const Stage& here = harness.stages()[*stage];
  if (std::find(here.without.begin(), here.without.end(), *point.part) != here.without.end()) {
    diagnostics.error("R204", node.at, fmt::format("'{}' is not there at stage '{}'", node.text, here.name));
    return false;
  }
  return true;
}

}  // namespace lugwise::intake::inside
