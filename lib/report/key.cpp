#include <fmt/format.h>

#include "fault/naming.h"
#include "page/document.h"
#include "page/markdown.h"
#include "report/exercise.h"
#include "report/inside/exercise_words.h"
#include "report/inside/json.h"
#include "report/inside/shown.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

std::string size_in_words(const Fault& fault, const Ailment& ailment) {
  if (ailment.comes_and_goes) return ", and comes and goes";
  if (ailment.size <= 0) return "";
  if (fault.mode == Mode::High) return ", by " + in_words(ailment.size);
  return fmt::format(", {:.3g} times what it should be", ailment.size);
}

bool same_reading(const Observation& x, const Observation& y) {
  const bool alike = (x.a == y.a && x.b == y.b) || (x.a == y.b && x.b == y.a);
  return alike && x.action == y.action && x.setting == y.setting && x.lifted == y.lifted &&
         x.swept == y.swept && x.wiggled == y.wiggled;
}

// "OL on 200", "smooth, OL to OL on 2M".
std::string shown_in_words(const Observation& seen) {
  std::string text = display_in_words(seen);
  if (seen.range && seen.action != Action::Wiggle)
    text += " on " + (seen.capacitor ? capacitance_range_name(seen.range->top) : range_name(seen.range->top));
  return text;
}

// A smooth sweep may tell by what stands at its stops.
std::string sweep_in_words(const PathStep& step) {
  const std::string text = "A knob turned slowly shows wear";
  if (step.seen.ends.empty() || step.seen.shows != Shows::Smooth) return text + ".";
  return text + (step.agrees ? "; here all is as it should be, at its stops too."
                             : "; none here, but what stands at its stops is wrong.");
}

// Fewer bits than this are no reason for a reading.
constexpr double kWorthTelling = 0.01;

// Why this reading of a way, and what it told.
std::string reason_of(const Meter& meter, const std::vector<PathStep>& path, std::size_t at) {
  const PathStep& step = path[at];
  const PathStep* earlier = nullptr;
  for (std::size_t i = 0; i < at; ++i) {
    if (same_reading(path[i].seen, step.seen)) earlier = &path[i];
  }
  std::string text;
  if (earlier && earlier->seen.shows == Shows::OverRange && earlier->seen.range && step.seen.range &&
      step.seen.range->top > earlier->seen.range->top) {
    text = "The same on a higher range, to see how much it is.";
  } else if (earlier) {
    text = "Once more, as a reading may be a slip of the tip.";
  } else if (step.seen.action == Action::Sweep) {
    text = sweep_in_words(step);
  } else if (step.seen.action == Action::Wiggle) {
    text = "What is loose moves when it is pressed.";
  } else if (step.probe.bits >= kWorthTelling) {
    const std::string bits = fmt::format("{:.2g}", step.probe.bits);
    text = fmt::format("It could be expected to tell {} {}.", bits, bits == "1" ? "bit" : "bits");
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

}  // namespace

std::string key_as_yaml(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                        const ExerciseOptions& options, const Exercise& exercise, const std::string& seal) {
  std::string text = "lugwise-key: 1\n";
  text += fmt::format("exercise: \"{}\"\n", report::number_in_words(exercise));
  text += fmt::format("seal: {}\n", quoted(seal));
  text += fmt::format("program: {}\n", quoted(heading.program));
  text += fmt::format("harness: {{name: {}, id: {}, file: {}}}\n", quoted(harness.name),
                      quoted(heading.harness_id), quoted(heading.harness_file));
  std::vector<std::string> values;
  for (const ChosenValue& value : heading.values)
    values.push_back(fmt::format("{}: {}", value.name, quoted(value.text)));
  if (!values.empty()) text += fmt::format("values: {{{}}}\n", fmt::join(values, ", "));
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
  for (std::size_t i = 0; i < exercise.path.size(); ++i) {
    const Observation& seen = exercise.path[i].seen;
    text += fmt::format("  - {{probe: {}, reads: {}, because: {}}}\n", quoted(probe_in_words(harness, seen)),
                        quoted(shown_in_words(seen)), quoted(reason_of(options.meter, exercise.path, i)));
  }
  return text;
}

std::string key_as_markdown(const Heading& heading, const Harness& harness, const std::vector<Fault>& faults,
                            const ExerciseOptions& options, const Exercise& exercise) {
  page::Document document;
  document.title = "Key to exercise " + report::number_in_words(exercise);
  std::vector<std::string> wrong;
  for (const Ailment& each : exercise.ailments)
    wrong.push_back(in_words(harness, faults[each.fault]) + size_in_words(faults[each.fault], each));
  document.opening.push_back(page::Facts{{{"harness", harness.name},
                                          {"is wrong", fmt::format("{}", fmt::join(wrong, "; "))},
                                          {"complaint", report::complaints_in_words(harness, exercise)},
                                          {"seed", std::to_string(options.seed)}},
                                         false});
  page::Section right{"Counts as right", false, false, {}};
  page::List list;
  for (const std::vector<std::size_t>& group : exercise.answer)
    list.items.push_back(
        {fmt::format("{}", fmt::join(report::group_in_words(harness, faults, group), "; or ")), {}});
  right.blocks.push_back(std::move(list));
  document.sections.push_back(std::move(right));
  page::Section way{
      fmt::format("The shortest way, {}", report::minutes(exercise.path_seconds)), false, false, {}};
  page::List path;
  for (std::size_t i = 0; i < exercise.path.size(); ++i) {
    const Observation& seen = exercise.path[i].seen;
    path.items.push_back({fmt::format("{}: {}", probe_in_words(harness, seen), shown_in_words(seen)),
                          {{"because", reason_of(options.meter, exercise.path, i)}}});
  }
  way.blocks.push_back(std::move(path));
  document.sections.push_back(std::move(way));
  document.mark = heading.program;
  return page::as_markdown(document);
}

}  // namespace lugwise
