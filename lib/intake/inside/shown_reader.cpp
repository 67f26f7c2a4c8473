#include "intake/inside/shown_reader.h"

#include <fmt/format.h>

#include <optional>
#include <utility>
#include <vector>

#include "circuit/capacitance.h"
#include "intake/display.h"
#include "intake/reading_problem.h"
#include "intake/value.h"

namespace lugwise::intake::inside {

// Ohms, or farads of a capacitance range.
void ShownReader::read_range(const Node& node, Entry& entry) {
  // `20m` is likelier a slip for 20M than a range of 20 millifarads.
  const auto farads = node.kind == Node::Kind::Text ? parse_farads(node.text).value : std::nullopt;
  if (farads && node.text.back() != 'm') {
    entry.farads = true;
    entry.range =
        as_value(node, "'range'", "N302", parse_farads, {1e-11, 0.1, "from 10p to 100m"}, desk_.diagnostics);
  } else {
    entry.range =
        as_value(node, "'range'", "N301", parse_ohms, {1, 1e11, "from 1 to 100G"}, desk_.diagnostics);
  }
}

// What such an entry reads; of a step only the plan knows what it is.
std::string ShownReader::hint_for(const Fields& fields, const std::string& hint) {
  if (fields.given("sweep")) return "a sweep reads 'smooth' or 'jumps'";
  if (fields.given("wiggle")) return "a wiggle reads 'steady' or 'unstable'";
  if (!fields.given("step") || !hint.starts_with("write what the meter shows")) return hint;
  return hint + "; of a sweep 'smooth' or 'jumps', of a wiggle 'steady' or 'unstable'";
}

void ShownReader::read(Fields& fields, Entry& entry) {
  const Node* range = fields.find("range");
  if (range) read_range(*range, entry);
  const Node* reads = fields.need("reads");
  const std::string* text = reads ? as_text(*reads, "'reads'", desk_.diagnostics) : nullptr;
  if (!text) return;
  entry.text = *text;
  Asked asked;
  if (fields.given("sweep")) {
    asked.action = Action::Sweep;
  } else if (fields.given("wiggle")) {
    asked.action = Action::Wiggle;
  } else if (fields.given("step")) {
    asked.action.reset();
  }
  asked.farads.reset();
  if (range && entry.range) asked.farads = entry.farads;
  asked.range = entry.range;
  asked.on_meter = on_meter(fields, entry);
  const JudgedReading judged = judge(*text, asked, desk_.meter);
  if (judged.wrong && judged.wrong->kind == Misread::Kind::NoReading)
    return refuse(*judged.wrong, fields, *reads);
  entry.shows = judged.shown.shows;
  entry.value = judged.shown.value;
  entry.resolution = judged.shown.resolution;
  if (entry.shows == Shows::Value) entry.farads = judged.shown.farads;
  const bool on_range = judged.wrong && judged.wrong->on_range;
  if (judged.wrong && !on_range) return refuse(*judged.wrong, fields, *reads);
  if (entry.farads && !measures_capacitor(fields, entry)) return;
  if (judged.wrong) refuse(*judged.wrong, fields, *reads);
}

// Whether it is known which of the meter's ranges it stood on. What is aside is perhaps another meter's, and the range of a
// step only the plan knows.
bool ShownReader::on_meter(const Fields& fields, const Entry& entry) const {
  if (!desk_.meter_known || entry.aside) return false;
  return entry.range || !(fields.given("range") || entry.step);
}

void ShownReader::refuse(const Misread& wrong, const Fields& fields, const Node& reads, TypedAs as) {
  using Kind = Misread::Kind;
  const Node* const range = fields.find("range");
  const char* code = "R301";
  std::string problem = wrong.problem;
  std::string hint = wrong.in_file(reads.text, as);
  const Node* where = &reads;
  switch (wrong.kind) {
    case Kind::NoReading:
      if (as == TypedAs::Reading) hint = hint_for(fields, hint);
      break;
    case Kind::NotOfSweep:
    case Kind::NotOfWiggle:
    case Kind::NotOfCapacitance:
    case Kind::NotOfTips:
      code = "R406";
      break;
    case Kind::SweepWord:
      code = "R406";
      hint = "say which knob is turned: 'sweep: volume'";
      break;
    case Kind::WiggleWord:
      code = "R406";
      hint = "say what is pressed and moved: 'wiggle: [volume.case]'";
      break;
    case Kind::NotOfEnd:
      code = "R407";
      break;
    case Kind::OtherUnit: {
      code = "R408";
      const bool farads = parse_farads(range->text).value.has_value() && range->text.back() != 'm';
      problem =
          fmt::format("'{}' is in {}, and '{}' is a range of {}", reads.text.substr(0, 60),
                      farads ? "ohms" : "farads", range->text.substr(0, 60), farads ? "farads" : "ohms");
      hint.clear();
      if (farads && parse_number(reads.text).value)
        hint = fmt::format("did you mean '{}{}'?", reads.text,
                           capacitance_range_name(*parse_farads(range->text).value).back());
      break;
    }
    case Kind::NoSuchRange:
      code = "R304";
      if (range && as == TypedAs::Reading) where = range;
      break;
    case Kind::TooManyDigits:
      code = "R302";
      break;
    case Kind::AboveRange:
      code = "R303";
      break;
  }
  Diagnostic& error = desk_.diagnostics.error(code, where->at, problem);
  if (!hint.empty()) error.note(hint);
}

// The meter's leads, as it showed them.
void ShownReader::read_tips(Fields& fields, Entry& entry) {
  const Node* tips = fields.find("tips");
  const std::string* text = tips ? as_text(*tips, "'tips'", desk_.diagnostics) : nullptr;
  if (text && *text != "together")
    desk_.diagnostics.error("N207", tips->at,
                            fmt::format("'tips' must be together, not '{}'", text->substr(0, 100)));
  const Node* reads = fields.need("reads");
  const std::string* shows = reads ? as_text(*reads, "'reads'", desk_.diagnostics) : nullptr;
  if (!shows) return;
  entry.text = *shows;
  const JudgedReading judged =
      judge_tips(*shows, desk_.meter, desk_.meter_known && !entry.aside ? TipsOn::Meter : TipsOn::Words);
  if (judged.wrong) return refuse(*judged.wrong, fields, *reads);
  entry.value = judged.shown.value;
  entry.resolution = judged.shown.resolution;
}

// What stood at the two ends of a sweep: values or OL.
void ShownReader::read_ends(const Node& node, const Fields& fields, Entry& entry) {
  if (!fields.given("sweep") && !fields.given("step")) {
    desk_.diagnostics.error("R407", fields.key_span("ends"), "'ends' belongs to a sweep")
        .note("say which knob is turned: 'sweep: volume'");
    return;
  }
  if (!as_list(node, "'ends'", desk_.diagnostics)) return;
  if (node.items.size() != 2) {
    desk_.diagnostics.error("R407", node.at, fmt::format("a sweep has two ends, not {}", node.items.size()));
    return;
  }
  if (entry.swept && (entry.set_given || !entry.step)) {
    const double start = entry.setting.knob(*entry.swept);
    if (start != 0 && start != 10) {
      const std::string& name = desk_.harness[*entry.swept].name;
      desk_.diagnostics
          .error("R407", node.at, fmt::format("the sweep starts with {} at {:g}, not at a stop", name, start))
          .note(fmt::format("say where it starts: 'set: {{{}: 10}}'", name));
      return;
    }
  }
  Asked asked;
  asked.range = entry.range;
  asked.on_meter = on_meter(fields, entry);
  std::vector<Display> ends;
  for (const Node& item : node.items) {
    const std::string* text = as_text(item, "an end of a sweep", desk_.diagnostics);
    if (!text) return;
    // On a range of its own it is judged by that one, whatever is known of the sweep's.
    Asked end = asked;
    if (text->find(" on ") != std::string::npos) end.on_meter = desk_.meter_known && !entry.aside;
    const JudgedEnd judged = judge_end(*text, end, desk_.meter);
    if (judged.wrong) {
      Node shown = item;
      if (judged.wrong->on_range) shown.text = judged.display.text;
      refuse(*judged.wrong, fields, shown, TypedAs::SweepEnd);
      if (!judged.wrong->on_range) return;
    }
    ends.push_back(judged.display);
  }
  entry.ends = std::move(ends);
}

// Farads come from a capacitance range, and that reads one capacitor by itself.
bool ShownReader::measures_capacitor(const Fields& fields, const Entry& entry) {
  // Whether a step reads farads the plan knows.
  if (!entry.placed) return entry.step && !fields.given("between");
  const Span at = fields.find("between")->at;
  const std::string& a = desk_.harness[entry.a].name;
  const std::string& b = desk_.harness[entry.b].name;
  const auto capacitor = capacitor_between(desk_.harness, entry.a, entry.b);
  if (!capacitor) {
    Diagnostic& error = desk_.diagnostics.error(
        "R408", at,
        fmt::format("farads between '{}' and '{}', which are not the two ends of a capacitor", a, b));
    std::string ends;
    for (const Part& part : desk_.harness.parts()) {
      if (part.kind != PartKind::Capacitor || ends.size() > 200) continue;
      ends += fmt::format("{}{} and {}", ends.empty() ? "" : ", ", desk_.harness[part.points[0]].name,
                          desk_.harness[part.points[1]].name);
    }
    if (!ends.empty()) error.note("a capacitor's ends are " + ends);
    return false;
  }
  State state;
  state.setting = entry.setting;
  state.stage = desk_.stage;
  state.lifted = entry.lifted;
  if (measured_alone(desk_.harness, circuit_of(desk_.harness, state), *capacitor)) return true;
  Diagnostic& error = desk_.diagnostics.error(
      "R408", at,
      fmt::format("something else lies between '{}' and '{}', so a capacitance range reads both", a, b));
  if (desk_.leads.count(entry.a) || desk_.leads.count(entry.b)) {
    error.note(
        fmt::format("lift one lead of the capacitor: 'lifted: [{}]'", desk_.leads.count(entry.a) ? a : b));
  }
  return false;
}

}  // namespace lugwise::intake::inside
