#include "report/exercise.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "fault/naming.h"
#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/json.h"
#include "report/inside/shown.h"
#include "report/inside/sketch.h"
#include "report/inside/words.h"
#include "simulation/dice.h"

namespace lugwise {
namespace {

using report::Json;

// Lines to write readings on, where the student asks for them.
constexpr std::size_t kBlankReadings = 12;

// Wrong answers offered beside the right one in a question to be ticked.
constexpr std::size_t kOthers = 5;

// Only the controls that don't stand as they do unless set.
std::string setting_in_words(const Harness& harness, const Setting& setting) {
  const Setting usual(harness);
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    const bool select = harness[control].kind == PartKind::Switch;
    if (select || !setting.alike(usual, control))
      places.push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  return fmt::format("{}", fmt::join(places, ", "));
}

std::string complaints_in_words(const Harness& harness, const Exercise& exercise) {
  std::vector<std::string> words;
  for (const Heard& one : exercise.heard) {
    const std::string set = setting_in_words(harness, one.setting);
    const std::string who = one.pickup    ? harness[*one.pickup].name + ": "
                            : one.control ? harness[*one.control].name + ": "
                                          : "";
    words.push_back(fmt::format("{}{}{}", who, sound_word(one.sound), set.empty() ? "" : " with " + set));
  }
  return words.empty() ? "none: it is in for a check" : fmt::format("{}", fmt::join(words, "; "));
}

std::string number_of(const Exercise& exercise) { return fmt::format("{:02}", exercise.number); }

page::Table readings_of(const Harness& harness, const std::vector<Observation>& given) {
  page::Table table{{{"no.", 3, true}, {"reads", 8, false}, {"range", 6, false}, {"where", 10, false}}, {}};
  for (std::size_t i = 0; i < given.size(); ++i) {
    const Observation& seen = given[i];
    const std::string range = !seen.range      ? ""
                              : seen.capacitor ? capacitance_range_name(seen.range->top)
                                               : range_name(seen.range->top);
    table.rows.push_back({std::to_string(i + 1), seen.text, range, probe_in_words(harness, seen)});
  }
  return table;
}

page::Document sheet_of(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                        const Exercise& exercise, report::Sketchbook* pictures) {
  page::Document document;
  document.title = "Exercise " + number_of(exercise);
  document.job = {"name", "date"};
  document.opening.push_back(page::Facts{
      {{"harness", harness.name},
       {"to find", std::string(level_in_words(exercise.level))},
       {"complaint", complaints_in_words(harness, exercise)},
       {"meter", report::in_words(options.meter)},
       {"coils at", options.temperature ? fmt::format("{:g} °C", *options.temperature) : "not known"},
       {"stage", options.stage ? harness.stages()[*options.stage].name : "all parts there"}},
      false});
  document.sections.push_back(
      {"Before you probe a real one",
       false,
       false,
       {page::List{{{"Unplug at both ends, from the amplifier and everything else; never measure resistance "
                     "in anything "
                     "powered, and take a battery out first.",
                     {}},
                    {"Slacken strings before touching bridge, claw or springs; wear eye protection; the iron "
                     "burns, its "
                     "fumes need air.",
                     {}},
                    {"A shock, or noise that follows the house wiring or the amplifier: stop. That belongs "
                     "to a licensed "
                     "electrician or a qualified amplifier technician, under local codes.",
                     {}}}}},
       true});
  if (pictures) {
    page::Section picture{"The harness, as drawn", false, false, {}};
    page::Picture whole = pictures->whole({});
    whole.caption = "All as the netlist has it.";
    picture.blocks.push_back(std::move(whole));
    document.sections.push_back(std::move(picture));
  }
  if (!exercise.given.empty()) {
    document.sections.push_back({"Readings", false, false, {readings_of(harness, exercise.given)}});
  } else {
    page::Section blank{"Readings you asked for", false, false, {}};
    blank.blocks.push_back(page::Paragraph{
        fmt::format("Ask for one at a time, as in: lugwise exercise work {}.yaml", number_of(exercise))});
    page::Blanks lines;
    for (std::size_t i = 1; i <= kBlankReadings; ++i) lines.fields.push_back(std::to_string(i));
    lines.wide = true;
    blank.blocks.push_back(std::move(lines));
    document.sections.push_back(std::move(blank));
  }
  page::Section answer{"What is wrong", false, false, {}};
  answer.blocks.push_back(page::Paragraph{exercise.level == 4
                                              ? "Name each fault in the words of: lugwise faults. Of faults "
                                                "that no reading could tell apart one is enough."
                                              : "Name the fault in the words of: lugwise faults. Of faults "
                                                "that no reading could tell apart one is enough."});
  answer.blocks.push_back(page::Blanks{
      exercise.level == 4 ? std::vector<std::string>{"one", "other"} : std::vector<std::string>{"fault"},
      {},
      true});
  document.sections.push_back(std::move(answer));
  document.mark = heading.program + ", exercise " + number_of(exercise);
  return document;
}

std::vector<std::string> words_of(const Harness& harness, const std::vector<Fault>& faults,
                                  const std::vector<std::size_t>& group) {
  std::vector<std::string> words;
  for (std::size_t f : group) words.push_back(in_words(harness, faults[f]));
  return words;
}

std::string size_in_words(const Fault& fault, const Ailment& ailment) {
  if (ailment.comes_and_goes) return ", and comes and goes";
  if (ailment.size <= 0) return "";
  if (fault.mode == Mode::High) return ", by " + in_words(ailment.size);
  return fmt::format(", {:.3g} times what it should be", ailment.size);
}

// Why this reading, and what it told.
std::string reason_of(const Meter& meter, const PathStep& step) {
  std::string text;
  if (step.seen.action == Action::Sweep) {
    text = "A knob turned slowly shows wear.";
  } else if (step.seen.action == Action::Wiggle) {
    text = "What is loose moves when it is pressed.";
  } else if (step.probe.bits > 0) {
    text = fmt::format("Of what could be asked for it was expected to tell {:.2g} bits.", step.probe.bits);
  }
  if (step.seen.action == Action::Read && !step.seen.capacitor) {
    const report::Shown sound = report::shown(meter, step.probe.range, step.probe.expected, step.sound);
    text += fmt::format("{}A sound one shows {}: this {}.", text.empty() ? "" : " ", report::in_words(sound),
                        step.agrees ? "agrees" : "is wrong");
  }
  if (step.after < step.before)
    text += fmt::format("{}{} stood before it, {} after.", text.empty() ? "" : " ",
                        report::counted(step.before, "place"), report::counted(step.after, "place"));
  return text;
}

std::string quoted(const std::string& text) {
  return Json(text).dump(-1, ' ', false, Json::error_handler_t::replace);
}

// A fault in one line, as a list of YAML holds it: the JSON form is YAML too.
std::string fault_line(const Harness& harness, const Fault& fault) {
  return report::json_of(harness, fault).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string escaped_xml(const std::string& text) {
  std::string result;
  for (const char letter : text) {
    switch (letter) {
      case '&':
        result += "&amp;";
        break;
      case '<':
        result += "&lt;";
        break;
      case '>':
        result += "&gt;";
        break;
      case '"':
        result += "&quot;";
        break;
      default:
        result += letter;
    }
  }
  return result;
}

}  // namespace

std::string probe_in_words(const Harness& harness, const Observation& seen) {
  std::string text = fmt::format("{} and {}", harness[seen.a].name, harness[seen.b].name);
  const std::string set = setting_in_words(harness, seen.setting);
  if (!set.empty()) text += " with " + set;
  std::vector<std::string> names;
  for (PointId point : seen.lifted) names.push_back(harness[point].name);
  if (!names.empty()) text += ", lifted " + report::listed(names);
  if (seen.swept) text += fmt::format(", {} turned from end to end", harness[*seen.swept].name);
  names.clear();
  for (PointId point : seen.wiggled) names.push_back(harness[point].name);
  if (!names.empty()) text += ", pressing " + report::listed(names);
  return text;
}

std::string sheet_as_markdown(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                              const Exercise& exercise) {
  return page::as_markdown(sheet_of(heading, harness, options, exercise, nullptr));
}

std::string sheet_as_html(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                          const Exercise& exercise, const Places& places) {
  report::Sketchbook pictures(harness, options.stage, places);
  return page::as_html(sheet_of(heading, harness, options, exercise, &pictures), heading.program);
}

std::string key_as_yaml(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                        const ExerciseOptions& options, const Exercise& exercise) {
  std::string text = "lugwise-key: 1\n";
  text += fmt::format("exercise: \"{}\"\n", number_of(exercise));
  text += fmt::format("program: {}\n", quoted(heading.program));
  text += fmt::format("harness: {{name: {}, id: {}, file: {}}}\n", quoted(harness.name),
                      quoted(heading.harness_id), quoted(heading.harness_file));
  text += fmt::format("level: {}\nseed: {}\n", exercise.level, options.seed);
  if (options.stage) text += fmt::format("stage: {}\n", quoted(harness.stages()[*options.stage].name));
  text += "is:\n";
  for (const Ailment& each : exercise.ailments) {
    const Fault& fault = faults[each.fault];
    text += fmt::format("  - {{fault: {}, size: {}, comes_and_goes: {}, say: {}}}\n",
                        fault_line(harness, fault), each.size > 0 ? report::number(each.size).dump() : "null",
                        each.comes_and_goes, quoted(in_words(harness, fault) + size_in_words(fault, each)));
  }
  text += "answer:\n";
  for (const std::vector<std::size_t>& group : exercise.answer) {
    for (std::size_t f : group) text += fmt::format("  - {}\n", fault_line(harness, faults[f]));
  }
  text += "groups:\n";
  for (const std::vector<std::size_t>& group : exercise.answer) {
    std::vector<std::string> ids;
    for (std::size_t f : group) ids.push_back(fault_id(harness, faults[f]));
    text += fmt::format("  - [{}]\n", fmt::join(ids, ", "));
  }
  text += fmt::format("seconds: {}\n", report::number(exercise.path_seconds).dump());
  text += exercise.path.empty() ? "path: []\n" : "path:\n";
  for (const PathStep& step : exercise.path) {
    text +=
        fmt::format("  - {{probe: {}, reads: {}, because: {}}}\n", quoted(probe_in_words(harness, step.seen)),
                    quoted(step.seen.text), quoted(reason_of(options.meter, step)));
  }
  return text;
}

std::string key_as_markdown(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                            const ExerciseOptions& options, const Exercise& exercise) {
  page::Document document;
  document.title = "Key to exercise " + number_of(exercise);
  std::vector<std::string> wrong;
  for (const Ailment& each : exercise.ailments)
    wrong.push_back(in_words(harness, faults[each.fault]) + size_in_words(faults[each.fault], each));
  document.opening.push_back(page::Facts{{{"harness", harness.name},
                                          {"is wrong", fmt::format("{}", fmt::join(wrong, "; "))},
                                          {"complaint", complaints_in_words(harness, exercise)},
                                          {"seed", std::to_string(options.seed)}},
                                         false});
  page::Section right{"Counts as right", false, false, {}};
  page::List list;
  for (const std::vector<std::size_t>& group : exercise.answer)
    list.items.push_back({fmt::format("{}", fmt::join(words_of(harness, faults, group), "; or ")), {}});
  right.blocks.push_back(std::move(list));
  document.sections.push_back(std::move(right));
  page::Section way{
      fmt::format("The shortest way, {}", report::minutes(exercise.path_seconds)), false, false, {}};
  page::List path;
  for (const PathStep& step : exercise.path)
    path.items.push_back({fmt::format("{}: {}", probe_in_words(harness, step.seen), step.seen.text),
                          {{"because", reason_of(options.meter, step)}}});
  way.blocks.push_back(std::move(path));
  document.sections.push_back(std::move(way));
  document.mark = heading.program;
  return page::as_markdown(document);
}

std::string as_qti(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise) {
  struct Choice {
    std::string text;
    bool right = false;
  };
  std::vector<Choice> choices;
  std::vector<std::size_t> taken;
  for (const std::vector<std::size_t>& group : exercise.answer) {
    choices.push_back({fmt::format("{}", fmt::join(words_of(harness, faults, group), ", or ")), true});
    taken.insert(taken.end(), group.begin(), group.end());
  }
  Dice dice(exercise.salt, 7);
  for (std::size_t tries = 0; tries < 200 && choices.size() < exercise.answer.size() + kOthers; ++tries) {
    const std::size_t other = dice.below(faults.size());
    if (std::any_of(taken.begin(), taken.end(),
                    [&](std::size_t f) { return same_place(faults[f], faults[other]); }))
      continue;
    taken.push_back(other);
    choices.push_back({in_words(harness, faults[other]), false});
  }
  for (std::size_t left = choices.size(); left > 1; --left)
    std::swap(choices[left - 1], choices[dice.below(left)]);
  const std::size_t right = exercise.answer.size();
  std::string text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  text += fmt::format(
      "<assessmentItem xmlns=\"http://www.imsglobal.org/xsd/imsqti_v2p1\"\n"
      "    xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"\n"
      "    xsi:schemaLocation=\"http://www.imsglobal.org/xsd/imsqti_v2p1 "
      "http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd\"\n"
      "    identifier=\"exercise-{0}\" title=\"Exercise {0}\" adaptive=\"false\" timeDependent=\"false\">\n",
      number_of(exercise));
  text += fmt::format(
      "  <responseDeclaration identifier=\"RESPONSE\" cardinality=\"{}\" baseType=\"identifier\">\n"
      "    <correctResponse>\n",
      right > 1 ? "multiple" : "single");
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (choices[i].right) text += fmt::format("      <value>choice-{}</value>\n", i + 1);
  }
  text +=
      "    </correctResponse>\n  </responseDeclaration>\n"
      "  <outcomeDeclaration identifier=\"SCORE\" cardinality=\"single\" baseType=\"float\">\n"
      "    <defaultValue>\n      <value>0</value>\n    </defaultValue>\n  </outcomeDeclaration>\n"
      "  <itemBody>\n";
  text += fmt::format("    <p>{}: {}. Complaint: {}.</p>\n", escaped_xml(harness.name),
                      level_in_words(exercise.level), escaped_xml(complaints_in_words(harness, exercise)));
  text += fmt::format(
      "    <choiceInteraction responseIdentifier=\"RESPONSE\" shuffle=\"false\" maxChoices=\"{}\">\n"
      "      <prompt>What is wrong?</prompt>\n",
      right);
  for (std::size_t i = 0; i < choices.size(); ++i)
    text += fmt::format("      <simpleChoice identifier=\"choice-{}\">{}</simpleChoice>\n", i + 1,
                        escaped_xml(choices[i].text));
  text +=
      "    </choiceInteraction>\n  </itemBody>\n"
      "  <responseProcessing "
      "template=\"http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct\"/>\n"
      "</assessmentItem>\n";
  return text;
}

std::string made_as_json(const Heading& heading, const std::string& folder, const std::string& keys,
                         std::size_t count) {
  Json json = report::json_of(heading);
  json["folder"] = folder;
  json["keys"] = keys;
  json["count"] = count;
  return report::written(json);
}

}  // namespace lugwise
