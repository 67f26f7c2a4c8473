#include "intake/readings.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "circuit/capacitance.h"
#include "intake/inside/fields.h"
#include "intake/inside/meter_map.h"
#include "intake/inside/point_reader.h"
#include "intake/inside/tree.h"
#include "intake/place.h"
#include "intake/sound.h"
#include "intake/value.h"

namespace lugwise {
namespace {

using namespace inside;

class SheetReader {
 public:
  SheetReader(const Netlist& netlist, Diagnostics& diagnostics, const Meter* named)
      : harness_(netlist.harness),
        diagnostics_(diagnostics),
        points_(netlist.harness, nullptr, diagnostics),
        named_(named),
        meter_(named ? *named : netlist.meter.value_or(assumed_meter())) {
    for (const Element& element : harness_.elements()) {
      if (element.kind == ElementKind::Joint || element.pressed) leads_.insert(element.b);
    }
    for (const Blob& blob : harness_.blobs()) {
      if (harness_[blob.surface].role == PointRole::Lead)
        leads_.insert(blob.surface);  // the first lead of a splice
    }
  }

  std::optional<Sheet> read(const Node& root) {
    if (!right_kind(root)) return std::nullopt;
    Fields fields(root, "a readings file", root.at,
                  {"lugwise-readings", "harness", "plan", "meter", "temperature", "readings", "heard",
                   "exercise", "claims"},
                  diagnostics_);
    if (const Node* node = fields.find("harness")) {
      if (const std::string* text = as_text(*node, "'harness'", diagnostics_)) sheet_.harness_file = *text;
    }
    plan_given_ = fields.given("plan");
    if (const Node* node = fields.find("plan")) read_plan(*node, fields.key_span("plan"));
    if (fields.given("meter")) {
      meter_known_ = named_ != nullptr;
      const Node* node = fields.find("meter");
      sheet_.meter = node ? read_meter_map(*node, fields.key_span("meter"), diagnostics_) : std::nullopt;
      if (sheet_.meter && !named_) {
        meter_ = *sheet_.meter;
        meter_known_ = true;
      }
    }
    if (const Node* node = fields.find("temperature"))
      sheet_.temperature = read_temperature(*node, diagnostics_);
    if (const Node* node = fields.find("readings"); node && as_list(*node, "'readings'", diagnostics_)) {
      if (!too_many(*node)) {
        for (const Node& entry : node->items) read_entry(entry);
      }
    }
    if (const Node* node = fields.find("heard"); node && as_list(*node, "'heard'", diagnostics_)) {
      if (!too_many(*node)) {
        for (const Node& entry : node->items) read_heard(entry);
      }
    }
    if (const Node* node = fields.find("exercise")) read_exercise(*node, fields.key_span("exercise"));
    if (const Node* node = fields.find("claims")) read_claims(*node);
    const bool answered = fields.given("exercise") && fields.given("claims");
    if (!fields.given("readings") && !fields.given("heard") && !answered) fields.need("readings");
    if (diagnostics_.failed()) return std::nullopt;
    return std::move(sheet_);
  }

 private:
  bool right_kind(const Node& root) {
    if (root.kind != Node::Kind::Map) {
      diagnostics_.error("R101", root.at, "not a readings file: it must be a map of 'key: value'")
          .note("a readings file begins with 'lugwise-readings: 1'");
      return false;
    }
    const Node* netlist = nullptr;
    bool readings = false;
    for (std::size_t i = 0; i < root.pairs(); ++i) {
      if (root.key(i).text == "lugwise") netlist = &root.key(i);
      if (root.key(i).text == "readings" || root.key(i).text == "heard") readings = true;
      if (root.key(i).text != "lugwise-readings") continue;
      const Node& version = root.value(i);
      if (version.kind == Node::Kind::Nothing) return true;  // reported among the keys
      const std::string* text = as_text(version, "'lugwise-readings'", diagnostics_);
      if (!text) return false;
      if (*text == "1") return true;
      diagnostics_
          .error("R102", version.at,
                 fmt::format("version '{}' of the readings file is not one this program reads",
                             text->substr(0, 60)))
          .note("it reads version 1");
      return false;
    }
    if (netlist) {
      diagnostics_.error("R101", netlist->at, "this is a netlist, not a readings file");
    } else {
      diagnostics_.error("R101", {}, "not a readings file: 'lugwise-readings: 1' is missing")
          .note("it says which version of the format the file is in");
    }
    return readings && !netlist;  // what else is wrong with it is told too
  }

  // Each entry holds the place of every control.
  bool too_many(const Node& entries) {
    constexpr std::size_t kMost = 10'000;
    constexpr std::size_t kMostPlaces = 20'000'000;
    const std::size_t most = std::min(kMost, kMostPlaces / harness_.parts().size());
    if (entries.items.size() <= most) return false;
    diagnostics_.error(
        "R103", entries.at,
        fmt::format("{} entries; at most {} can be read in one file", entries.items.size(), most));
    return true;
  }

  void read_plan(const Node& node, Span at) {
    if (!as_map(node, "'plan'", diagnostics_)) return;
    Fields fields(node, "'plan'", at, {"id", "stage", "depth", "aim", "lift", "after"}, diagnostics_);
    PlanReference plan;
    plan.at = at;
    if (const Node* id = fields.need("id")) {
      plan.at = id->at;
      const std::string* text = as_text(*id, "the plan's id", diagnostics_);
      const auto hexadecimal = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
      };
      if (text &&
          (text->size() < 6 || text->size() > 64 || !std::all_of(text->begin(), text->end(), hexadecimal))) {
        diagnostics_.error("R306", id->at, fmt::format("not a plan's id: '{}'", text->substr(0, 100)))
            .note("it is six or more of the digits 0 to 9 and a to f, as the plan shows it");
      } else if (text) {
        for (const char c : *text) plan.id += c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c;
      }
    }
    if (const Node* stage = fields.find("stage")) {
      const std::string* text = as_text(*stage, "'stage'", diagnostics_);
      if (text) stage_ = harness_.find_stage(*text);
      if (text && !stage_) {
        std::vector<std::string> names;
        for (const Stage& one : harness_.stages()) names.push_back(one.name);
        Diagnostic& error =
            diagnostics_.error("R205", stage->at, fmt::format("no such stage: '{}'", text->substr(0, 100)));
        if (names.empty()) error.note("the netlist has no stages");
        suggestions_.note(error, *text, names, "the stages are");
      } else if (text) {
        plan.stage = *text;
      }
    }
    if (const Node* depth = fields.find("depth")) {
      const std::string* text = as_text(*depth, "'depth'", diagnostics_);
      if (text && *text != "outside" && *text != "full") {
        diagnostics_.error("N207", depth->at,
                           fmt::format("'depth' must be outside or full, not '{}'", text->substr(0, 100)));
      } else if (text) {
        plan.depth = *text;
      }
    }
    if (const Node* aim = fields.find("aim")) {
      const std::string* text = as_text(*aim, "'aim'", diagnostics_);
      if (text && *text != "usual" && *text != "thorough" && *text != "quick") {
        diagnostics_.error(
            "N207", aim->at,
            fmt::format("'aim' must be usual, thorough or quick, not '{}'", text->substr(0, 100)));
      } else if (text) {
        plan.aim = *text;
      }
    }
    if (const Node* lift = fields.find("lift")) {
      plan.lift = as_flag(*lift, "'lift'", diagnostics_).value_or(false);
    }
    if (const Node* after = fields.find("after")) {
      if (const std::string* text = as_text(*after, "'after'", diagnostics_)) plan.after = *text;
    }
    sheet_.plan = plan;
  }

  // Puts the controls of a `set` where it says.
  void read_set(const Node* node, Setting& setting) {
    if (!node || !as_map(*node, "'set'", diagnostics_)) return;
    std::unordered_map<std::string, Span> seen;
    for (std::size_t i = 0; i < node->pairs(); ++i) {
      const Node& key = node->key(i);
      const Node& value = node->value(i);
      const std::string* control = as_text(key, "a control", diagnostics_);
      if (!control) continue;
      const auto [before, fresh] = seen.emplace(*control, key.at);
      if (!fresh) {
        diagnostics_.error("N113", key.at, fmt::format("key '{}' is given twice", *control))
            .note("first given", before->second);
        continue;
      }
      if (value.kind == Node::Kind::Nothing) {
        diagnostics_.error("N115", key.at, fmt::format("nothing is given for '{}'", *control));
        continue;
      }
      const std::string* place = as_text(value, "a control's place", diagnostics_);
      if (!place) continue;
      auto refused = apply_setting(harness_, *control, *place, setting, false);
      if (!refused) continue;
      if (suggestions_.afford(harness_.parts().size()))
        refused = apply_setting(harness_, *control, *place, setting);
      Diagnostic& error =
          diagnostics_.error(refused->about_place ? "R202" : "R201", refused->about_place ? value.at : key.at,
                             refused->refusal.problem);
      if (!refused->refusal.hint.empty())
        error.note(refused->refusal.hint + (refused->refusal.declared.known() ? " in the netlist" : ""),
                   refused->refusal.declared);
    }
  }

  std::vector<PointId> read_points(const Node* node, std::string_view what) {
    std::vector<PointId> found;
    const auto texts = node ? as_texts(*node, what, diagnostics_) : std::nullopt;
    if (!texts) return found;
    if (texts->empty()) diagnostics_.error("R402", node->at, fmt::format("{} names no point", what));
    for (const Node* item : *texts) {
      const auto point = points_.point(*item);
      if (!point) continue;
      if (std::find(found.begin(), found.end(), *point) != found.end()) {
        diagnostics_.error("N402", item->at, fmt::format("'{}' is in this list twice", item->text));
        continue;
      }
      found.push_back(*point);
    }
    return found;
  }

  // Whether a probe can stand there now; reports why not.
  bool can_be_probed(PointId id, const Node& node, const Setting& setting) {
    const Point& point = harness_[id];
    if (point.role == PointRole::Inside) {
      diagnostics_.error("R204", node.at,
                         fmt::format("'{}' is inside the pickup, where no probe gets", node.text));
      return false;
    }
    if (point.role == PointRole::Plug && !setting.plugged(*point.part)) {
      diagnostics_.error("R204", node.at, fmt::format("'{}' is not there with the plug out", node.text));
      return false;
    }
    if (stage_ && point.part &&
        std::find(stage_->without.begin(), stage_->without.end(), *point.part) != stage_->without.end()) {
      diagnostics_.error("R204", node.at,
                         fmt::format("'{}' is not there at stage '{}'", node.text, stage_->name));
      return false;
    }
    return true;
  }

  void read_entry(const Node& node) {
    if (!as_map(node, "a reading", diagnostics_)) return;
    Fields fields(node, "a reading", node.at,
                  {"step", "between", "set", "lifted", "range", "sweep", "wiggle", "reads", "ends", "cover",
                   "note", "aside", "tips", "skipped", "done", "repaired"},
                  diagnostics_);
    Entry entry;
    entry.at = node.at;
    entry.setting = Setting(harness_);
    if (!read_kind(fields, entry)) return;
    if (entry.kind == EntryKind::Tips) read_tips(fields, entry);
    if (entry.kind != EntryKind::Reading && entry.kind != EntryKind::Skipped) {
      sheet_.entries.push_back(std::move(entry));
      return;
    }
    entry.set_given = fields.given("set");
    read_set(fields.find("set"), entry.setting);
    read_step(fields, entry);
    read_action(fields, entry);
    read_between(fields, entry);
    if (const Node* lifted = fields.find("lifted")) read_lifted(*lifted, entry);
    if (const Node* cover = fields.find("cover")) read_cover(*cover, entry);
    if (entry.kind == EntryKind::Reading) {
      read_shown(fields, entry);
      if (const Node* ends = fields.find("ends")) read_ends(*ends, fields, entry);
    }
    sheet_.entries.push_back(std::move(entry));
  }

  // What an entry is, by the key that only such a one has, and the remarks on it.
  bool read_kind(Fields& fields, Entry& entry) {
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
        diagnostics_
            .error("R409", fields.key_span(key),
                   fmt::format("an entry has '{}' or '{}', not both", first, key))
            .note(fmt::format("'{}' is given", first), fields.key_span(first));
        return false;
      }
    }
    const bool of_a_reading = fields.given("between") || fields.given("step");
    if (!first && !of_a_reading && fields.given("note")) entry.kind = EntryKind::Note;
    const auto take = [&](const char* key, std::string& text) {
      const Node* node = fields.find(key);
      const std::string* found = node ? as_text(*node, fmt::format("'{}'", key), diagnostics_) : nullptr;
      if (found) text = *found;
    };
    take(entry.kind == EntryKind::Skipped ? "skipped"
         : entry.kind == EntryKind::Done  ? "done"
                                          : "note",
         entry.note);
    take("aside", entry.aside);
    if (entry.kind == EntryKind::Repaired)
      entry.repaired = read_points(fields.find("repaired"), "'repaired'");
    return true;
  }

  // The meter's leads, as it showed them.
  void read_tips(Fields& fields, Entry& entry) {
    const Node* tips = fields.find("tips");
    const std::string* text = tips ? as_text(*tips, "'tips'", diagnostics_) : nullptr;
    if (text && *text != "together")
      diagnostics_.error("N207", tips->at,
                         fmt::format("'tips' must be together, not '{}'", text->substr(0, 100)));
    const Node* reads = fields.need("reads");
    const std::string* shows = reads ? as_text(*reads, "'reads'", diagnostics_) : nullptr;
    if (!shows) return;
    entry.text = *shows;
    const Parsed<Shown> shown = parse_display(*shows, meter_);
    if (!shown.value) {
      Diagnostic& error = diagnostics_.error("R301", reads->at, shown.problem);
      if (!shown.hint.empty()) error.note(shown.hint);
      return;
    }
    if (shown.value->shows != Shows::Value || shown.value->farads) {
      diagnostics_.error(
          "R406", reads->at,
          fmt::format("with the tips together a meter reads ohms, not '{}'", shows->substr(0, 60)));
      return;
    }
    entry.value = shown.value->value;
    entry.resolution = shown.value->resolution;
  }

  void read_cover(const Node& node, Entry& entry) {
    const std::string* text = as_text(node, "'cover'", diagnostics_);
    if (!text) return;
    std::vector<std::string> covers{"outside", "cavity", "bench"};
    for (const Point& point : harness_.points()) {
      if (point.reach.kind != ReachKind::Cover) continue;
      if (std::find(covers.begin(), covers.end(), point.reach.cover) == covers.end())
        covers.push_back(point.reach.cover);
    }
    if (std::find(covers.begin(), covers.end(), *text) != covers.end()) {
      entry.cover = *text;
      return;
    }
    Diagnostic& error =
        diagnostics_.error("R410", node.at, fmt::format("no such cover: '{}'", text->substr(0, 100)));
    suggestions_.note(error, *text, covers, "'cover' may be");
  }

  void read_step(const Fields& fields, Entry& entry) {
    const Node* node = fields.find("step");
    if (!node) return;
    const auto step =
        as_value(*node, "'step'", "R305", parse_number, {1, 1e6, "a whole number from 1"}, diagnostics_);
    if (!step) return;
    if (*step != std::floor(*step)) {
      diagnostics_.error("R305", node->at,
                         fmt::format("'step' must be a whole number, not '{}'", node->text));
      return;
    }
    entry.step = static_cast<int>(*step);
    if (!plan_given_) {
      diagnostics_.error("R401", node->at, "'step' is given, but no plan")
          .note("write which plan: 'plan: {id: 7c1e03}'");
    }
  }

  void read_action(const Fields& fields, Entry& entry) {
    const Node* sweep = fields.find("sweep");
    const Node* wiggle = fields.find("wiggle");
    if (sweep && wiggle) {
      diagnostics_.error("R403", fields.key_span("wiggle"), "a reading sweeps or wiggles, not both")
          .note("'sweep' is given", fields.key_span("sweep"));
      return;
    }
    if (wiggle) {
      entry.action = Action::Wiggle;
      entry.wiggled = read_points(wiggle, "'wiggle'");
    }
    if (!sweep) return;
    entry.action = Action::Sweep;
    const std::string* text = as_text(*sweep, "'sweep'", diagnostics_);
    if (!text) return;
    const auto part = harness_.find_part(*text);
    if (part && harness_[*part].pot && !harness_[*part].pot->gang) {
      entry.swept = part;
      return;
    }
    std::vector<std::string> pots;
    for (const PartId control : harness_.controls()) {
      if (harness_[control].pot) pots.push_back(harness_[control].name);
    }
    Diagnostic& error = diagnostics_.error("R404", sweep->at,
                                           part ? fmt::format("'{}' is not a pot's knob", *text)
                                                : fmt::format("no such pot: '{}'", text->substr(0, 100)));
    if (part && harness_[*part].pot) {
      error.note(fmt::format("it is on the shaft of '{}'", harness_[*harness_[*part].pot->gang].name));
    } else {
      suggestions_.note(error, *text, pots, "the pots are");
    }
  }

  void read_between(Fields& fields, Entry& entry) {
    if (!fields.given("between")) {
      if (!fields.given("step")) {
        diagnostics_.error("N114", entry.at, "a reading needs 'between'")
            .note("or 'step', for a step of the plan");
      }
      return;
    }
    const Node* node = fields.find("between");
    if (!node || !as_list(*node, "'between'", diagnostics_)) return;
    if (node->items.size() != 2) {
      diagnostics_.error("R402", node->at,
                         fmt::format("a reading is between two points, not {}", node->items.size()));
      return;
    }
    const auto a = points_.point(node->items[0]);
    const auto b = points_.point(node->items[1]);
    if (!a || !b) return;
    const bool first = can_be_probed(*a, node->items[0], entry.setting);
    const bool second = can_be_probed(*b, node->items[1], entry.setting);
    if (!first || !second) return;
    if (*a == *b) {
      diagnostics_.error("R402", node->items[1].at,
                         fmt::format("both probes are at '{}'", node->items[1].text));
      return;
    }
    entry.placed = true;
    entry.a = *a;
    entry.b = *b;
  }

  void read_lifted(const Node& node, Entry& entry) {
    entry.lifted = read_points(&node, "'lifted'");
    const auto texts = node.kind == Node::Kind::List ? node.items : std::vector<Node>{node};
    for (const Node& item : texts) {
      const auto point = item.kind == Node::Kind::Text ? harness_.find_point(item.text) : std::nullopt;
      if (!point || leads_.count(*point)) continue;
      Diagnostic& error = diagnostics_.error(
          "R405", item.at,
          fmt::format("'{}' is no lead or wire end in a joint, so it can't be lifted", item.text));
      if (!suggestions_.afford(harness_.blobs().size())) continue;
      std::string at_it;
      for (const Blob& blob : harness_.blobs()) {
        if (blob.surface != *point) continue;
        for (const PointId lead : blob.leads) at_it += (at_it.empty() ? "" : ", ") + harness_[lead].name;
      }
      if (!at_it.empty()) error.note("soldered there are " + at_it);
    }
  }

  // Ohms, or farads of a capacitance range.
  void read_range(const Node& node, Entry& entry) {
    // `20m` is likelier a slip for 20M than a range of 20 millifarads.
    const auto farads = node.kind == Node::Kind::Text ? parse_farads(node.text).value : std::nullopt;
    if (farads && node.text.back() != 'm') {
      entry.farads = true;
      entry.range =
          as_value(node, "'range'", "N302", parse_farads, {1e-11, 0.1, "from 10p to 100m"}, diagnostics_);
    } else {
      entry.range = as_value(node, "'range'", "N301", parse_ohms, {1, 1e11, "from 1 to 100G"}, diagnostics_);
    }
  }

  // What such an entry reads; of a step only the plan knows what it is.
  static std::string hint_for(const Fields& fields, const std::string& hint) {
    if (fields.given("sweep")) return "a sweep reads 'smooth' or 'jumps'";
    if (fields.given("wiggle")) return "a wiggle reads 'steady' or 'unstable'";
    if (!fields.given("step") || !hint.starts_with("write what the meter shows")) return hint;
    return hint + "; of a sweep 'smooth' or 'jumps', of a wiggle 'steady' or 'unstable'";
  }

  void read_shown(Fields& fields, Entry& entry) {
    const Node* range = fields.find("range");
    if (range) read_range(*range, entry);
    const Node* reads = fields.need("reads");
    const std::string* text = reads ? as_text(*reads, "'reads'", diagnostics_) : nullptr;
    if (!text) return;
    entry.text = *text;
    Parsed<Shown> shown = parse_display(*text, meter_);
    if (!shown.value) {
      Diagnostic& error = diagnostics_.error("R301", reads->at, shown.problem);
      const std::string hint = hint_for(fields, shown.hint);
      if (!hint.empty()) error.note(hint);
      return;
    }
    entry.shows = shown.value->shows;
    entry.value = shown.value->value;
    entry.resolution = shown.value->resolution;
    if (!fits_action(fields, entry, *reads)) return;
    if (!fits_unit(fields, entry, range, *reads, *shown.value)) return;
    if (!meter_known_ || (fields.given("range") && !entry.range)) return;
    if (!entry.aside.empty()) return;        // perhaps another meter's
    if (entry.step && !entry.range) return;  // on the step's range, which the plan knows
    check_shown(*shown.value, entry, *reads, range);
  }

  // Whether the meter could have shown that; `range` is where the range was given.
  void check_shown(const Shown& shown, const Entry& entry, const Node& reads, const Node* range) {
    report(reading_problem(meter_, entry.range, shown, reads.text), reads, range, false);
  }

  void report(const std::optional<ReadingProblem>& problem, const Node& reads, const Node* range,
              bool of_end) {
    if (!problem) return;
    using Kind = ReadingProblem::Kind;
    const char* code = problem->kind == Kind::NoSuchRange  ? "R304"
                       : problem->kind == Kind::AboveRange ? "R303"
                                                           : "R302";
    const Node& where = problem->kind == Kind::NoSuchRange && range ? *range : reads;
    Diagnostic& error = diagnostics_.error(code, where.at, problem->problem);
    const std::string hint = problem->in_file(reads.text, of_end);
    if (!hint.empty()) error.note(hint);
  }

  // What stood at the two ends of a sweep: values or OL.
  void read_ends(const Node& node, const Fields& fields, Entry& entry) {
    if (!fields.given("sweep") && !fields.given("step")) {
      diagnostics_.error("R407", fields.key_span("ends"), "'ends' belongs to a sweep")
          .note("say which knob is turned: 'sweep: volume'");
      return;
    }
    if (!as_list(node, "'ends'", diagnostics_)) return;
    if (node.items.size() != 2) {
      diagnostics_.error("R407", node.at, fmt::format("a sweep has two ends, not {}", node.items.size()));
      return;
    }
    if (entry.swept && (entry.set_given || !entry.step)) {
      const double start = entry.setting.knob(*entry.swept);
      if (start != 0 && start != 10) {
        const std::string& name = harness_[*entry.swept].name;
        diagnostics_
            .error("R407", node.at,
                   fmt::format("the sweep starts with {} at {:g}, not at a stop", name, start))
            .note(fmt::format("say where it starts: 'set: {{{}: 10}}'", name));
        return;
      }
    }
    std::vector<Display> ends;
    for (const Node& item : node.items) {
      const std::string* text = as_text(item, "an end of a sweep", diagnostics_);
      if (!text) return;
      // An end may be on a range of its own: `0.3 on 200`.
      const std::size_t on = std::min(text->find(" on "), text->size());
      const std::string display = text->substr(0, on);
      std::optional<Range> own;
      if (on < text->size()) {
        const std::string named = text->substr(on + 4);
        const Parsed<Ohms> top = parse_ohms(named);
        const Range* range = top.value ? meter_.find_range(*top.value) : nullptr;
        if (!range && (meter_known_ || !top.value)) {
          diagnostics_.error("R304", item.at,
                             fmt::format("the meter has no range of {}", named.substr(0, 60)));
          return;
        }
        if (range) own = *range;
      }
      const Parsed<Shown> shown = parse_reading(display);
      if (!shown.value) {
        Diagnostic& error = diagnostics_.error("R301", item.at, shown.problem);
        if (!shown.hint.empty()) error.note(shown.hint);
        return;
      }
      if (shown.value->shows != Shows::Value && shown.value->shows != Shows::OverRange) {
        diagnostics_.error(
            "R407", item.at,
            fmt::format("the end of a sweep is a value or OL, not '{}'", item.text.substr(0, 60)));
        return;
      }
      ends.push_back({shown.value->shows, shown.value->value, shown.value->resolution, display, own});
      const bool known = meter_known_ && entry.aside.empty() &&
                         (own || entry.range || !(entry.step || fields.given("range")));
      if (!known) continue;
      report(reading_problem(meter_, own ? std::optional(own->top) : entry.range, *shown.value, display),
             item, fields.find("range"), true);
    }
    entry.ends = std::move(ends);
  }

  // Farads come from a capacitance range, and that reads one capacitor by itself. What is shown learns its unit from the
  // range where it has none of its own.
  bool fits_unit(const Fields& fields, Entry& entry, const Node* range, const Node& reads, Shown& shown) {
    const bool value = shown.shows == Shows::Value;
    if (value && range && entry.range && entry.farads != shown.farads) {
      Diagnostic& error =
          diagnostics_.error("R408", reads.at,
                             fmt::format("'{}' is in {}, and '{}' is a range of {}", reads.text.substr(0, 60),
                                         shown.farads ? "farads" : "ohms", range->text.substr(0, 60),
                                         entry.farads ? "farads" : "ohms"));
      if (entry.farads && parse_number(reads.text).value)
        error.note(
            fmt::format("did you mean '{}{}'?", reads.text, capacitance_range_name(*entry.range).back()));
      return false;
    }
    if (value) entry.farads = shown.farads;
    shown.farads = entry.farads;
    if (!entry.farads) return true;
    if (!value && entry.shows != Shows::OverRange) {
      diagnostics_.error(
          "R406", reads.at,
          fmt::format("a capacitance range shows a value or OL, not '{}'", reads.text.substr(0, 60)));
      return false;
    }
    if (!entry.placed) {
      return entry.step && !fields.given("between");  // whether that step reads farads the plan knows
    }
    return measures_capacitor(fields, entry);
  }

  bool measures_capacitor(const Fields& fields, const Entry& entry) {
    const Span at = fields.find("between")->at;
    const std::string& a = harness_[entry.a].name;
    const std::string& b = harness_[entry.b].name;
    const auto capacitor = capacitor_between(harness_, entry.a, entry.b);
    if (!capacitor) {
      Diagnostic& error = diagnostics_.error(
          "R408", at,
          fmt::format("farads between '{}' and '{}', which are not the two ends of a capacitor", a, b));
      std::string ends;
      for (const Part& part : harness_.parts()) {
        if (part.kind != PartKind::Capacitor || ends.size() > 200) continue;
        ends += fmt::format("{}{} and {}", ends.empty() ? "" : ", ", harness_[part.points[0]].name,
                            harness_[part.points[1]].name);
      }
      if (!ends.empty()) error.note("a capacitor's ends are " + ends);
      return false;
    }
    State state;
    state.setting = entry.setting;
    if (stage_) state.stage = static_cast<std::size_t>(stage_ - harness_.stages().data());
    state.lifted = entry.lifted;
    if (measured_alone(harness_, circuit_of(harness_, state), *capacitor)) return true;
    Diagnostic& error = diagnostics_.error(
        "R408", at,
        fmt::format("something else lies between '{}' and '{}', so a capacitance range reads both", a, b));
    if (leads_.count(entry.a) || leads_.count(entry.b)) {
      error.note(
          fmt::format("lift one lead of the capacitor: 'lifted: [{}]'", leads_.count(entry.a) ? a : b));
    }
    return false;
  }

  // Sweeps read smooth or jumps, wiggles steady or unstable, and plain readings neither smooth, jumps nor steady.
  bool fits_action(const Fields& fields, const Entry& entry, const Node& reads) {
    const bool of_sweep = entry.shows == Shows::Smooth || entry.shows == Shows::Jumps;
    if (fields.given("sweep")) {
      if (of_sweep) return true;
      diagnostics_.error("R406", reads.at,
                         fmt::format("a sweep reads smooth or jumps, not '{}'", reads.text.substr(0, 60)));
      return false;
    }
    if (fields.given("wiggle")) {
      if (entry.shows == Shows::Steady || entry.shows == Shows::Unstable) return true;
      diagnostics_.error(
          "R406", reads.at,
          fmt::format("a wiggle reads steady or unstable, not '{}'", reads.text.substr(0, 60)));
      return false;
    }
    if (fields.given("step") || (!of_sweep && entry.shows != Shows::Steady)) return true;
    diagnostics_
        .error("R406", reads.at,
               fmt::format("'{}' is what a {} reads", reads.text, of_sweep ? "sweep" : "wiggle"))
        .note(of_sweep ? "say which knob is turned: 'sweep: volume'"
                       : "say what is pressed and moved: 'wiggle: [volume.case]'");
    return false;
  }

  // Whose answer to which exercise this is.
  void read_exercise(const Node& node, Span at) {
    if (!as_map(node, "'exercise'", diagnostics_)) return;
    Fields fields(node, "'exercise'", at, {"number", "level", "seal", "by", "given"}, diagnostics_);
    ExerciseNote note;
    const auto text = [&](std::string_view key, std::string& into) {
      const Node* value = fields.find(key);
      if (!value) return;
      if (const std::string* words = as_text(*value, fmt::format("'{}'", key), diagnostics_)) into = *words;
    };
    fields.need("number");
    text("number", note.number);
    if (note.number.size() == 1) note.number.insert(0, "0");  // "3" is "03"
    text("seal", note.seal);
    text("by", note.by);
    const auto count = [&](std::string_view key, double least, double most, const char* words, double usual) {
      const Node* value = fields.find(key);
      if (!value) return usual;
      return as_value(*value, fmt::format("'{}'", key), "R411", parse_number, {least, most, words},
                      diagnostics_)
          .value_or(usual);
    };
    note.level = static_cast<int>(count("level", 1, 4, "from 1 to 4", 1));
    note.given = static_cast<std::size_t>(count("given", 0, 10'000, "a count of readings", 0));
    sheet_.exercise = std::move(note);
  }

  void read_claims(const Node& node) {
    const auto texts = as_texts(node, "'claims'", diagnostics_);
    if (!texts || too_many(node)) return;
    for (const Node* each : *texts) sheet_.claims.push_back({each->text, each->at});
  }

  void read_heard(const Node& node) {
    if (!as_map(node, "what was heard", diagnostics_)) return;
    Fields fields(node, "what was heard", node.at, {"pickup", "set", "is", "aside"}, diagnostics_);
    Heard heard;
    heard.at = node.at;
    heard.setting = Setting(harness_);
    read_set(fields.find("set"), heard.setting);
    if (const Node* pickup = fields.find("pickup")) heard.pickup = read_pickup(*pickup);
    if (const Node* aside = fields.find("aside")) {
      if (const std::string* why = as_text(*aside, "'aside'", diagnostics_)) heard.aside = *why;
    }
    const Node* is = fields.need("is");
    const std::string* text = is ? as_text(*is, "'is'", diagnostics_) : nullptr;
    if (text) {
      if (const auto known = find_sound(*text)) {
        heard.sound = *known;
      } else {
        const std::vector<std::string> words = sound_words();
        Diagnostic& error =
            diagnostics_.error("N207", is->at, fmt::format("no such sound: '{}'", text->substr(0, 100)));
        suggestions_.note(error, *text, words, "'is' may be");
      }
    }
    sheet_.heard.push_back(std::move(heard));
  }

  std::optional<PartId> read_pickup(const Node& node) {
    const std::string* text = as_text(node, "'pickup'", diagnostics_);
    if (!text) return std::nullopt;
    const auto part = harness_.find_part(*text);
    if (part && harness_[*part].kind == PartKind::Pickup) return part;
    std::vector<std::string> pickups;
    for (const Part& one : harness_.parts()) {
      if (one.kind == PartKind::Pickup) pickups.push_back(one.name);
    }
    Diagnostic& error = diagnostics_.error("R203", node.at,
                                           part ? fmt::format("'{}' is not a pickup", *text)
                                                : fmt::format("no such pickup: '{}'", text->substr(0, 100)));
    suggestions_.note(error, *text, pickups, "the pickups are");
    return std::nullopt;
  }

  const Harness& harness_;
  Diagnostics& diagnostics_;
  PointReader points_;
  Suggestions suggestions_;
  const Meter* named_;
  Meter meter_;
  bool meter_known_ = true;
  bool plan_given_ = false;
  const Stage* stage_ = nullptr;
  std::unordered_set<PointId> leads_;
  Sheet sheet_;
};

}  // namespace

std::optional<Sheet> read_sheet(std::string_view text, const Netlist& netlist, Diagnostics& diagnostics,
                                const Meter* meter) {
  const SourceText source(text);
  const auto root = parse_tree(source, diagnostics);
  if (!root) return std::nullopt;
  return SheetReader(netlist, diagnostics, meter).read(*root);
}

std::string harness_named_in(std::string_view text) {
  const SourceText source(text);
  Diagnostics unheard("");
  const auto root = parse_tree(source, unheard);
  if (!root || root->kind != Node::Kind::Map) return {};
  for (std::size_t i = 0; i < root->pairs(); ++i) {
    if (root->key(i).text == "harness") return root->value(i).text;
  }
  return {};
}

std::string exercise_named_in(std::string_view text) {
  const SourceText source(text);
  Diagnostics unheard("");
  const auto root = parse_tree(source, unheard);
  if (!root || root->kind != Node::Kind::Map) return {};
  for (std::size_t i = 0; i < root->pairs(); ++i) {
    const Node& map = root->value(i);
    if (root->key(i).text != "exercise" || map.kind != Node::Kind::Map) continue;
    for (std::size_t k = 0; k < map.pairs(); ++k) {
      if (map.key(k).text != "number") continue;
      const std::string& number = map.value(k).text;
      return number.size() == 1 ? "0" + number : number;
    }
  }
  return {};
}

}  // namespace lugwise
