#include "report/inside/finding.h"

#include <fmt/format.h>

#include <utility>

#include "report/inside/judged.h"
#include "report/inside/shown.h"
#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {

std::string names(const Harness& harness, const std::vector<PointId>& points) {
  std::vector<std::string> names;
  for (PointId point : points) names.push_back(harness[point].name);
  return listed(names);
}

std::string where_probed(const Harness& harness, const Observation& observation) {
  std::string text = harness[observation.a].name + " and " + harness[observation.b].name;
  if (observation.step) text = fmt::format("step {}: {}", *observation.step, text);
  if (observation.swept) text += ", " + harness[*observation.swept].name + " swept";
  if (!observation.wiggled.empty()) text += ", " + names(harness, observation.wiggled) + " wiggled";
  if (!observation.lifted.empty()) text += "; off: " + names(harness, observation.lifted);
  return text;
}

std::vector<page::Readings::Row> rows_of(const Meter& meter, const Harness& harness,
                                         const Observation& observation, const Comparison& comparison) {
  const auto row = [&](std::string at, const Observation& seen, const Comparison& found) {
    return page::Readings::Row{std::move(at), seen.text, should_show(meter, seen, found),
                               judged(meter, seen, found), found.agrees};
  };
  std::vector<page::Readings::Row> rows{row("", observation, comparison)};
  for (std::size_t i = 0; i < comparison.ends.size(); ++i) {
    const Observation end = end_of(observation, i);
    rows.push_back(row(end.setting.place_name(harness, *observation.swept), end, comparison.ends[i]));
  }
  return rows;
}

std::string in_words(const Harness& harness, const Heard& heard) {
  std::string text = heard.pickup ? harness[*heard.pickup].name + " " : "";
  if (heard.control) text += harness[*heard.control].name + " ";
  text += sound_in_words(heard.sound);
  const std::string set = heard.set_given ? in_words(harness, heard.setting) : "";
  if (!set.empty()) text += ", with " + set;
  if (heard.aside) text += ": put aside, " + in_words(heard.aside);
  return text;
}

std::string found_before(const Harness& harness, const FoundBefore& before) {
  const Diagnosis& diagnosis = before.diagnosis;
  if (diagnosis.verdict != Verdict::Fault || diagnosis.suspects.empty())
    return fmt::format("found before the repair: {}", verdict_name(diagnosis.verdict));
  const Suspect& first = diagnosis.suspects.front();
  return fmt::format("found before the repair: {} ({})", in_words(harness, first),
                     percent(first.probability));
}

void ask_for(page::Step& step, const Meter& meter, const Observation& seen, const Comparison& comparison,
             std::vector<std::string> boxes) {
  const Shown shown = of_sound(meter, comparison);
  step.range = shown.range;
  step.shows = in_words(shown);
  if (seen.action == Action::Sweep) boxes = {"smooth", "jumps"};
  if (seen.action == Action::Wiggle) boxes = {"steady", "unstable"};
  step.blanks = {{"reads"}, std::move(boxes)};
}

page::Verdict verdict_of(const Diagnosis& diagnosis) {
  const std::string sound = percent(diagnosis.sound);
  switch (diagnosis.verdict) {
    case Verdict::Sound:
      return {page::Tone::Good, "Verdict: sound.", diagnosis.advice};  // by what is ruled out, not by odds
    case Verdict::Fault:
      return {page::Tone::Bad, fmt::format("Verdict: a fault ({} that nothing is wrong).", sound),
              diagnosis.advice};
    case Verdict::Unfinished:
      return {page::Tone::Unsure, "Verdict: unfinished.", diagnosis.advice};
    case Verdict::Unsure:
      break;
  }
  // What was not measured says nothing for being sound.
  const bool whole = diagnosis.shown.of > 0 && diagnosis.shown.open.empty();
  return {page::Tone::Unsure,
          whole ? fmt::format("Verdict: unsure ({} that nothing is wrong).", sound) : "Verdict: unsure.",
          diagnosis.advice};
}

}  // namespace inside
}  // namespace lugwise::report
