#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <map>
#include <utility>

#include "allowance.h"
#include "command.h"
#include "exercise/mark.h"
#include "exercise_folder.h"
#include "fault/naming.h"
#include "file.h"
#include "form.h"
#include "intake/key.h"
#include "load.h"
#include "report/exercise.h"
#include "typed.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

// The key of an exercise with its netlist, read once.
struct OpenKey {
  KeySheet sheet;
  Netlist netlist;
  std::vector<Fault> faults;
  Key key;
  std::string harness_file;
};

OpenKey open_key(Run& run, const std::string& number) {
  const std::string file = (fs::path(run.line.keys) / (number + ".yaml")).string();
  Diagnostics problems(file);
  const auto sheet = read_key(run.texts[file] = read_file(file), problems);
  if (!sheet) throw BadInput{problems.sorted()};
  OpenKey open{*sheet, {}, {}, {}, beside(file, sheet->harness_file)};
  CommandLine line = about(run, open.harness_file, {});
  line.chosen = sheet->values;
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  open.netlist = load_searchable(one);
  run.texts = one.texts;
  const Harness& harness = open.netlist.harness;
  if (open.netlist.id != sheet->harness_id)
    throw bad_input("U344", fmt::format("the key is of another netlist than '{}' is now", open.harness_file),
                    file);
  open.faults = faults_at(harness, find_stage(harness, sheet->stage, file, {}));
  open.key.number = sheet->number;
  open.key.least_seconds = sheet->seconds;
  for (const KeySheet::Group& group : sheet->groups) {
    std::vector<std::size_t> faults;
    for (const std::string& id : group.ids)
      faults.push_back(find_fault_of(harness, open.faults, id, file, group.at));
    open.key.answer.push_back(std::move(faults));
  }
  return open;
}

// Which of the probes are on the key's way, each as often as it stands there; with the tips either way round.
std::vector<bool> of_the_key(const Harness& harness, std::vector<std::string> way,
                             const std::vector<Observation>& probes) {
  std::vector<bool> of_it;
  for (Observation probe : probes) {
    auto found = std::find(way.begin(), way.end(), probe_in_words(harness, probe));
    if (found == way.end()) {
      std::swap(probe.a, probe.b);
      found = std::find(way.begin(), way.end(), probe_in_words(harness, probe));
    }
    of_it.push_back(found != way.end());
    if (found != way.end()) way.erase(found);
  }
  return of_it;
}

Marked mark_file(Run& run, const std::string& file, const MarkRule& rule,
                 std::map<std::string, OpenKey>& keys) {
  // Which exercise it answers says which key, and that says which harness.
  const ExerciseNote note = load_note(run, file);
  const std::string& number = note.number;
  if (!std::all_of(number.begin(), number.end(), [](unsigned char c) { return std::isalnum(c) != 0; }))
    throw bad_input("U340", fmt::format("'{}' is no number of an exercise", number.substr(0, 60)), file);
  if (!keys.count(number)) keys.emplace(number, open_key(run, number));
  const OpenKey& open = keys.at(number);
  // An answer on paper has no seal; then only its harness could tell.
  if (!note.seal.empty() && !open.sheet.seal.empty() && note.seal != open.sheet.seal)
    throw bad_input("U345",
                    fmt::format("an answer to another exercise {} than the one that the key in '{}' is of",
                                number, run.line.keys),
                    file);
  const Harness& harness = open.netlist.harness;
  const CommandLine line = about(run, open.harness_file, file);
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  const Job job = load_job(one, open.netlist);

  Marked marked;
  marked.file = file;
  marked.exercise = number;
  marked.by = note.by.empty() ? fs::path(file).stem().string() : note.by;
  std::vector<Observation> seen = job.weighed();
  const auto given = static_cast<std::ptrdiff_t>(std::min(seen.size(), note.given));
  marked.attempt.by = marked.by;
  marked.attempt.given.assign(seen.begin(), seen.begin() + given);
  marked.attempt.probes.assign(seen.begin() + given, seen.end());
  marked.attempt.of_the_key = of_the_key(harness, open.sheet.path, marked.attempt.probes);
  marked.attempt.heard = job.sheet.heard;
  marked.attempt.readings_given = readings_given(open.sheet.level);
  for (const NamedFault& claim : note.claims) {
    FaultFound found = find_fault(harness, open.faults, claim.words);
    marked.attempt.claims.push_back({claim.words, found.fault});
    marked.refused.push_back(found.fault ? std::nullopt : std::optional(std::move(found.refusal)));
  }
  const std::size_t judged = std::min(marked.attempt.probes.size(), kMostJudged);
  announce(one,
           work_of_marking(search_size(harness, job.stage), marked.attempt.given.size() + judged, judged));
  marked.mark = mark(harness, open.faults, job.diagnosis_options(), open.key, marked.attempt, rule);
  for (const std::vector<std::size_t>& group : open.key.answer) {
    std::vector<std::string> words;
    for (std::size_t f : group) words.push_back(in_words(harness, open.faults[f]));
    marked.right.push_back(std::move(words));
  }
  for (const Observation& probe : marked.attempt.probes)
    marked.probes.push_back(probe_in_words(harness, probe));
  return marked;
}

}  // namespace

ExitCode exercise_mark_command(Run& run) {
  ClassMarks marks;
  if (!run.line.rule.empty()) {
    Diagnostics problems(run.line.rule);
    const auto rule = read_rule(run.texts[run.line.rule] = read_file(run.line.rule), problems);
    if (!rule) throw BadInput{problems.sorted()};
    marks.rule.place = rule->place.value_or(marks.rule.place);
    marks.rule.probes = rule->probes.value_or(marks.rule.probes);
    marks.rule.hands = rule->hands.value_or(marks.rule.hands);
    marks.rule.wrong = rule->wrong.value_or(marks.rule.wrong);
  }
  std::map<std::string, OpenKey> keys;
  std::vector<Diagnostic> errors;
  for (const std::string& file : run.line.answers) {
    try {
      marks.marked.push_back(mark_file(run, file, marks.rule, keys));
    } catch (const BadInput& input) {
      errors.insert(errors.end(), input.errors.begin(), input.errors.end());
    }
  }
  if (!errors.empty()) throw BadInput{std::move(errors)};
  run.heading.meter.reset();
  if (run.line.csv) {
    std::string table = as_csv(marks);
    // A terminal is sent no carriage return: each would be a blank.
    if (run.line.output.empty()) table.erase(std::remove(table.begin(), table.end(), '\r'), table.end());
    give(run, table);
  } else {
    answer(run, marks);
  }
  return ExitCode::Well;
}

}  // namespace lugwise::app
