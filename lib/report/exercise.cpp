#include "report/exercise.h"

#include <fmt/format.h>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/exercise_words.h"
#include "report/inside/json.h"
#include "report/inside/sketch.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// Lines to write readings on, where the student asks for them.
constexpr std::size_t kBlankReadings = 12;

page::Table readings_of(const Harness& harness, const std::vector<Observation>& given) {
  page::Table table{{{"no.", 3, true}, {"reads", 8, false}, {"range", 6, false}, {"where", 10, false}}, {}};
  for (std::size_t i = 0; i < given.size(); ++i) {
    const Observation& seen = given[i];
    const std::string range = !seen.range      ? ""
                              : seen.capacitor ? capacitance_range_name(seen.range->top)
                                               : range_name(seen.range->top);
    table.rows.push_back(
        {std::to_string(i + 1), display_in_words(seen), range, probe_in_words(harness, seen)});
  }
  return table;
}

page::Document sheet_of(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                        const Exercise& exercise, report::Sketchbook* pictures) {
  page::Document document;
  document.title = "Exercise " + report::number_in_words(exercise);
  document.job = {"name", "date"};
  document.opening.push_back(page::Facts{
      {{"harness", harness.name},
       {"to find", std::string(level_in_words(exercise.level))},
       {"complaint", report::complaints_in_words(harness, exercise)},
       {"meter", report::in_words(options.meter)},
       {"coils at", options.temperature ? fmt::format("{:g} °C", *options.temperature) : "not known"},
       {"stage", report::stage_in_words(harness, options.stage)}},
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
    blank.blocks.push_back(page::Paragraph{fmt::format(
        "Ask for one at a time, as in: lugwise exercise work {}.yaml", report::number_in_words(exercise))});
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
  if (!exercise.given.empty())
    answer.blocks.push_back(page::Paragraph{
        "The answer alone is marked. Who takes readings of their own is marked on those too: what each could "
        "tell, and the time it takes."});
  document.sections.push_back(std::move(answer));
  document.mark = heading.program + ", exercise " + report::number_in_words(exercise);
  return document;
}

}  // namespace

// What stood there at both stops of a sweep is as good as two readings.
std::string display_in_words(const Observation& seen) {
  return seen.ends.size() == 2 ? fmt::format("{}, {} to {}", seen.text, seen.ends[0].text, seen.ends[1].text)
                               : seen.text;
}

std::string probe_in_words(const Harness& harness, const Observation& seen) {
  std::string text = fmt::format("{} and {}", harness[seen.a].name, harness[seen.b].name);
  const std::string set = report::unusual_in_words(harness, seen.setting);
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

std::string made_as_json(const Heading& heading, const std::string& folder, const std::string& keys,
                         std::size_t count) {
  Json json = report::json_of(heading);
  json["folder"] = folder;
  json["keys"] = keys;
  json["count"] = count;
  return report::written(json);
}

}  // namespace lugwise
