#include "intake/inside/entry_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "intake/inside/shown_reader.h"

namespace lugwise::intake::inside {

std::optional<Entry> EntryReader::read(const Node& node) {
  if (!as_map(node, "a reading", desk_.diagnostics)) return std::nullopt;
  Fields fields(node, "a reading", node.at,
                {"step", "between", "set", "lifted", "range", "sweep", "wiggle", "reads", "ends", "cover",
                 "note", "aside", "reason", "tips", "skipped", "done", "repaired"},
                desk_.diagnostics);
  Entry entry;
  entry.at = node.at;
  entry.setting = Setting(desk_.harness);
  if (!read_kind(fields, entry)) return std::nullopt;
  ShownReader shown(desk_);
  if (entry.kind == EntryKind::Tips) shown.read_tips(fields, entry);
  if (entry.kind != EntryKind::Reading && entry.kind != EntryKind::Skipped) {
    return entry;
  }
  entry.set_given = fields.given("set");
  desk_.read_set(fields.find("set"), entry.setting);
  read_step(fields, entry);
  read_action(fields, entry);
  read_between(fields, entry);
  if (const Node* lifted = fields.find("lifted")) read_lifted(*lifted, entry);
  if (const Node* cover = fields.find("cover")) read_cover(*cover, entry);
  if (entry.kind == EntryKind::Reading) {
    shown.read(fields, entry);
    if (const Node* ends = fields.find("ends")) shown.read_ends(*ends, fields, entry);
  }
  return entry;
}

// What an entry is, by the key that only such a one has, and the remarks on it.
bool EntryReader::read_kind(Fields& fields, Entry& entry) {
  constexpr std::array<std::pair<const char*, EntryKind>, 5> kKinds{{{"tips", EntryKind::Tips},
                                                                     {"skipped", EntryKind::Skipped},
                                                                     {"done", EntryKind::Done},
                                                                     {"repaired", EntryKind::Repaired},
                                                                     {"reads", EntryKind::Reading}}};
  const char* first = nullptr;
  for (const auto& [key, kind] : kKinds) {
    if (!fields.given(key)) continue;
    if (!first) {
      first = key;
      entry.kind = kind;
    } else if (entry.kind != EntryKind::Tips || kind != EntryKind::Reading) {
      desk_.diagnostics
          .error("R409", fields.key_span(key), fmt::format("an entry has '{}' or '{}', not both", first, key))
          .note(fmt::format("'{}' is given", first), fields.key_span(first));
      return false;
    }
  }
  const bool of_a_reading = fields.given("between") || fields.given("step");
  if (!first && !of_a_reading && fields.given("note")) entry.kind = EntryKind::Note;
  const auto take = [&](const char* key, std::string& text) {
    const Node* node = fields.find(key);
    const std::string* found = node ? as_text(*node, fmt::format("'{}'", key), desk_.diagnostics) : nullptr;
    if (found) text = *found;
  };
  take(entry.kind == EntryKind::Skipped ? "skipped"
       : entry.kind == EntryKind::Done  ? "done"
                                        : "note",
       entry.note);
  std::string aside;
  take("aside", aside);
  entry.aside = find_aside(aside);
  if (entry.aside && !entry.aside.is(Aside::Kind::Said)) take("reason", entry.aside.reason);
  if (entry.kind == EntryKind::Repaired)
    entry.repaired = desk_.read_points(fields.find("repaired"), "'repaired'");
  return true;
}

void EntryReader::read_cover(const Node& node, Entry& entry) {
  const std::string* text = as_text(node, "'cover'", desk_.diagnostics);
  if (!text) return;
  std::vector<std::string> covers{"outside", "cavity", "bench"};
  for (const Point& point : desk_.harness.points()) {
    if (point.reach.kind != ReachKind::Cover) continue;
    if (std::find(covers.begin(), covers.end(), point.reach.cover) == covers.end())
      covers.push_back(point.reach.cover);
  }
  if (std::find(covers.begin(), covers.end(), *text) != covers.end()) {
    entry.cover = *text;
    return;
  }
  Diagnostic& error =
      desk_.diagnostics.error("R410", node.at, fmt::format("no such cover: '{}'", text->substr(0, 100)));
  desk_.suggestions.note(error, *text, covers, "'cover' may be");
}

void EntryReader::read_step(const Fields& fields, Entry& entry) {
  const Node* node = fields.find("step");
  if (!node) return;
  const auto step =
      as_value(*node, "'step'", "R305", parse_number, {1, 1e6, "a whole number from 1"}, desk_.diagnostics);
  if (!step) return;
  if (*step != std::floor(*step)) {
    desk_.diagnostics.error("R305", node->at,
                            fmt::format("'step' must be a whole number, not '{}'", node->text));
    return;
  }
  entry.step = static_cast<int>(*step);
  if (!desk_.plan_given) {
    desk_.diagnostics.error("R401", node->at, "'step' is given, but no plan")
        .note("write which plan: 'plan: {id: 7c1e03}'");
  }
}

void EntryReader::read_action(const Fields& fields, Entry& entry) {
  const Node* sweep = fields.find("sweep");
  const Node* wiggle = fields.find("wiggle");
  if (sweep && wiggle) {
    desk_.diagnostics.error("R403", fields.key_span("wiggle"), "a reading sweeps or wiggles, not both")
        .note("'sweep' is given", fields.key_span("sweep"));
    return;
  }
  if (wiggle) {
    entry.action = Action::Wiggle;
    entry.wiggled = desk_.read_points(wiggle, "'wiggle'");
  }
  if (!sweep) return;
  entry.action = Action::Sweep;
  const std::string* text = as_text(*sweep, "'sweep'", desk_.diagnostics);
  if (!text) return;
  const auto part = desk_.harness.find_part(*text);
  if (part && desk_.harness[*part].pot && !desk_.harness[*part].pot->gang) {
    entry.swept = part;
    return;
  }
  std::vector<std::string> pots;
  for (const PartId control : desk_.harness.controls()) {
    if (desk_.harness[control].pot) pots.push_back(desk_.harness[control].name);
  }
  Diagnostic& error = desk_.diagnostics.error("R404", sweep->at,
                                              part ? fmt::format("'{}' is not a pot's knob", *text)
                                                   : fmt::format("no such pot: '{}'", text->substr(0, 100)));
  if (part && desk_.harness[*part].pot) {
    error.note(
        fmt::format("it is on the shaft of '{}'", desk_.harness[*desk_.harness[*part].pot->gang].name));
  } else {
    desk_.suggestions.note(error, *text, pots, "the pots are");
  }
}

void EntryReader::read_between(Fields& fields, Entry& entry) {
  if (!fields.given("between")) {
    if (!fields.given("step") && !fields.mistyped("between") && !fields.mistyped("step")) {
      desk_.diagnostics.error("N114", entry.at, "a reading needs 'between'")
          .note("or 'step', for a step of the plan");
    }
    return;
  }
  const Node* node = fields.find("between");
  if (!node || !as_list(*node, "'between'", desk_.diagnostics)) return;
  if (node->items.size() != 2) {
    desk_.diagnostics.error("R402", node->at,
                            fmt::format("a reading is between two points, not {}", node->items.size()));
    return;
  }
  const auto a = desk_.points.point(node->items[0]);
  const auto b = desk_.points.point(node->items[1]);
  if (!a || !b) return;
  const bool first = desk_.can_be_probed(*a, node->items[0], entry.setting);
  const bool second = desk_.can_be_probed(*b, node->items[1], entry.setting);
  if (!first || !second) return;
  if (*a == *b) {
    desk_.diagnostics.error("R402", node->items[1].at,
                            fmt::format("both probes are at '{}'", node->items[1].text));
    return;
  }
  entry.placed = true;
  entry.a = *a;
  entry.b = *b;
}

void EntryReader::read_lifted(const Node& node, Entry& entry) {
  entry.lifted = desk_.read_points(&node, "'lifted'");
  const auto texts = node.kind == Node::Kind::List ? node.items : std::vector<Node>{node};
  for (const Node& item : texts) {
    const auto point = item.kind == Node::Kind::Text ? desk_.harness.find_point(item.text) : std::nullopt;
    if (!point || desk_.leads.count(*point)) continue;
    const bool afford = desk_.suggestions.afford(desk_.harness.blobs().size());
    const auto refusal =
        why_not_lifted(desk_.harness, *point, item.text, afford ? Suggest::Near : Suggest::Nothing);
    if (!refusal) continue;
    Diagnostic& error = desk_.diagnostics.error("R405", item.at, refusal->problem);
    if (!refusal->hint.empty()) error.note(refusal->hint);
  }
}

}  // namespace lugwise::intake::inside
