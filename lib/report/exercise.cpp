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

std::vector<page::Table::Column> columns_of_readings() {
  return {{"no.", 3, true}, {"reads", 8, false}, {"range", 6, false}, {"where", 10, false}};
}

page::Table readings_of(const Harness& harness, const std::vector<Observation>& given) {
  page::Table table{columns_of_readings(), {}};
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

page::Facts about(const Harness& harness, const ExerciseOptions& options, const Exercise& exercise) {
  page::Facts facts{
      {{"harness", harness.name},
       {"to find", std::string(level_in_words(exercise.level))},
       {"complaint", report::complaints_in_words(harness, exercise)},
       {"meter", report::in_words(options.meter)},
       {"coils at", options.temperature ? fmt::format("{:g} °C", *options.temperature) : "not known"}},
      false};
  if (!harness.stages().empty())
    facts.rows.push_back({"stage", report::stage_in_words(harness, options.stage)});
  return facts;
}

page::Section cautions() {
  const page::List list{
      {{"Unplug at both ends, from the amplifier and everything else; never measure resistance in anything "
        "powered, and take a battery out first.",
        {}},
       {"Slacken strings before touching bridge, claw or springs; wear eye protection; the iron burns, its "
        "fumes need air.",
        {}},
       {"A shock, or noise that follows the house wiring or the amplifier: stop. That belongs to a licensed "
        "electrician or a qualified amplifier technician, under local codes.",
        {}}}};
  return {"Before you probe a real one", false, false, {list}, true};
}

page::Section picture_of(report::Sketchbook& pictures) {
  page::Picture whole = pictures.whole({});
  whole.caption.clear();
  return {"The harness, as drawn", false, false, {std::move(whole)}};
}

page::Section readings_on(const Harness& harness, const Exercise& exercise) {
  const std::string usual = report::in_words(harness, Setting(harness));
  page::Section section{"Readings", false, false, {}};
  if (!usual.empty())
    section.blocks.push_back(page::Paragraph{fmt::format("What is not said stands so: {}.", usual)});
  section.blocks.push_back(readings_of(harness, exercise.given));
  return section;
}

page::Section blanks_for(const Exercise& exercise) {
  page::Table lines{columns_of_readings(), {}};
  for (std::size_t i = 1; i <= kBlankReadings; ++i)
    lines.rows.push_back(std::vector<std::string>{std::to_string(i), "", "", ""});
  return {"Readings you asked for",
          false,
          false,
          {page::Paragraph{fmt::format("Ask for one at a time, as in: lugwise exercise work {}.yaml",
                                       report::number_in_words(exercise))},
           std::move(lines)}};
}

page::Section question_of(const Exercise& exercise) {
  const bool two = exercise.level == 4;
  page::Section section{"What is wrong", false, false, {}};
  std::string asked = fmt::format(
      "Say of {} what it is and where, as: the joint of … at … is open, or cold; the contact between … and … "
      "is "
      "dirty; … and … touch each other; the track of … is worn. Of those that no reading could tell apart "
      "one "
      "is enough; each wrong one costs.",
      two ? "each fault" : "the fault");
  if (!exercise.given.empty())
    asked += " This answer alone is marked, unless you take readings of your own: then those are too.";
  section.blocks.push_back(page::Paragraph{std::move(asked)});
  section.blocks.push_back(page::Blanks{
      two ? std::vector<std::string>{"one", "other"} : std::vector<std::string>{"fault"}, {}, true});
  return section;
}

page::Document sheet_of(const Heading& heading, const Harness& harness, const ExerciseOptions& options,
                        const Exercise& exercise, report::Sketchbook* pictures) {
  page::Document document;
  document.title = "Exercise " + report::number_in_words(exercise);
  document.job = {"name", "date"};
  document.opening.push_back(about(harness, options, exercise));
  document.sections.push_back(cautions());
  document.sections.push_back(exercise.given.empty() ? blanks_for(exercise) : readings_on(harness, exercise));
  document.sections.push_back(question_of(exercise));
  // Last: on paper it needs nearly a page, and would leave most of one empty before it.
  if (pictures) document.sections.push_back(picture_of(*pictures));
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
