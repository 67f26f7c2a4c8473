#include "exercise/exercise.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <map>
#include <ostream>
#include <set>
#include <utility>

#include "command.h"
#include "exercise/mark.h"
#include "exercise/practice.h"
#include "exercise/seal.h"
#include "fault/naming.h"
#include "file.h"
#include "form.h"
#include "hearing/sound.h"
#include "intake/attempt.h"
#include "intake/key.h"
#include "intake/readings.h"
#include "load.h"
#include "record/exercise_file.h"
#include "record/record.h"
#include "report/exercise.h"
#include "report/practice.h"
#include "terminal.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* kNetlists = "netlist";  // the folder that the harness is copied into

void make_folder(const fs::path& folder) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (error || !fs::is_directory(folder))
    throw bad_input("U320", fmt::format("can't be written: {}", error ? error.message() : "it is no folder"),
                    folder.string());
}

// The harness as the exercises name it: a copy beside them, so that a student needs nothing else. A netlist of several files
// stays where it is.
std::string harness_beside(const Run& run, const fs::path& folder) {
  const fs::path file(run.line.harness);
  std::size_t netlists = 0;
  for (const auto& [name, text] : run.texts)
    netlists += name != run.line.meter && name != run.line.workshop ? 1 : 0;
  if (netlists == 1) {
    const fs::path copy = fs::path(kNetlists) / file.filename();
    make_folder(folder / kNetlists);
    write_file((folder / copy).string(), run.texts.at(run.line.harness));
    return copy.generic_string();
  }
  std::error_code error;
  return fs::proximate(fs::absolute(file, error), fs::absolute(folder, error), error).generic_string();
}

// What the student gets to work with.
std::string exercise_file(const Netlist& netlist, const std::vector<Fault>& faults,
                          const ExerciseOptions& options, const Exercise& exercise,
                          const std::string& harness) {
  Record record;
  record.harness_file = harness;
  record.plan.id = "000000";
  if (options.stage) record.plan.stage = netlist.harness.stages()[*options.stage].name;
  if (exercise.level != 1) record.plan.aim = aim_name(Aim::Thorough);
  record.meter = options.meter;
  record.temperature = options.temperature;
  Sealed content;
  content.seed = exercise.instrument;
  for (const Ailment& each : exercise.ailments)
    content.ills.push_back({fault_id(netlist.harness, faults[each.fault]), each.size, each.comes_and_goes});
  ExerciseNote note;
  note.number = fmt::format("{:02}", exercise.number);
  note.level = exercise.level;
  note.given = exercise.given.size();
  note.seal = sealed(content, exercise.salt);
  record.heard = exercise.heard;
  for (const Observation& seen : exercise.given) {
    Deed deed;
    deed.seen = seen;
    deed.seen.step.reset();
    record.deeds.push_back(std::move(deed));
  }
  return as_exercise_file(netlist.harness, record, note);
}

// What a file says of its exercise; it must be one's.
ExerciseNote load_note(Run& run, const std::string& file) {
  Diagnostics problems(file);
  std::string& text = run.texts[file];
  if (text.empty()) text = read_file(file);
  const auto note = read_exercise(text, problems);
  if (problems.failed()) throw BadInput{problems.sorted()};
  if (!note) throw bad_input("U340", "is no exercise, nor an answer to one: it has no 'exercise'", file);
  return *note;
}

// The same run about other files.
CommandLine about(const Run& run, const std::string& harness, const std::string& readings) {
  CommandLine line = run.line;
  line.harness = harness;
  line.readings = readings;
  return line;
}

std::string beside(const std::string& file, const std::string& named) {
  return named.empty() ? named : (fs::path(file).parent_path() / named).lexically_normal().string();
}

// The netlist that an exercise names.
std::string harness_of(Run& run, const std::string& file) {
  const std::string named = harness_named_in(run.texts[file] = read_file(file));
  if (named.empty()) throw bad_input("U340", "names no harness: it is no exercise", file);
  return beside(file, named);
}

// A name that may stand in a file's.
std::string in_file_name(const std::string& name) {
  std::string text;
  for (const char letter : name) {
    const bool plain = std::isalnum(static_cast<unsigned char>(letter)) || letter == '-' || letter == '_' ||
                       static_cast<unsigned char>(letter) >= 0x80;
    text += plain ? letter : '-';
  }
  return text;
}

std::string log_name(const Run& run) {
  if (!run.line.output.empty()) return run.line.output;
  const fs::path file(run.line.exercise);
  const std::string who = run.line.by.empty() ? "log" : in_file_name(run.line.by);
  return (file.parent_path() / (file.stem().string() + "-" + who + ".yaml")).string();
}

std::vector<std::string> complaints_in_words(const Harness& harness, const Sheet& sheet) {
  std::vector<std::string> words;
  for (const Heard& heard : sheet.heard) {
    std::string text = heard.pickup    ? harness[*heard.pickup].name + " is "
                       : heard.control ? harness[*heard.control].name + ": "
                                       : "";
    text += sound_word(heard.sound);
    std::vector<std::string> places;
    for (PartId control : harness.controls())
      places.push_back(harness[control].name + " " + heard.setting.place_name(harness, control));
    if (!places.empty()) text += fmt::format(", with {}", fmt::join(places, ", "));
    words.push_back(std::move(text));
  }
  return words;
}

// One student's work at the terminal, kept after each reading.
class Desk {
 public:
  Desk(const Netlist& netlist, const std::vector<Fault>& faults, Job job, ExerciseNote note,
       Practice& practice, std::string log)
      : netlist_(netlist),
        faults_(faults),
        job_(std::move(job)),
        note_(std::move(note)),
        practice_(practice),
        log_(std::move(log)) {
    record_ = record_of(netlist.harness, job_);
    if (job_.sheet.plan) record_.plan = *job_.sheet.plan;
    record_.heard = job_.sheet.heard;
    record_.deeds.resize(std::min(record_.deeds.size(), note_.given));
    given_ = record_.deeds.size();
  }

  void call(const std::string& by) {
    if (!by.empty()) note_.by = by;
  }

  ExitCode work() {
    const Harness& harness = netlist_.harness;
    std::vector<Observation> given;
    for (std::size_t i = 0; i < given_; ++i) given.push_back(record_.deeds[i].seen);
    terminal_.show(practice_opening(harness, note_, complaints_in_words(harness, job_.sheet), given,
                                    terminal_.columns()));
    for (;;) {
      const auto line = terminal_.ask("> ");
      if (!line) break;
      const PracticeReply reply = practice_.take(*line);
      if (reply.changed) keep();
      terminal_.show(as_text(harness, faults_, practice_, reply, terminal_.columns()));
      if (reply.kind == PracticeReply::Kind::Stopped) break;
    }
    if (kept_) terminal_.show(fmt::format("The log is {}\n", log_));
    return ExitCode::Well;
  }

 private:
  void keep() {
    record_.deeds.resize(given_);
    for (const Observation& seen : practice_.log().probes) {
      Deed deed;
      deed.seen = seen;
      record_.deeds.push_back(std::move(deed));
    }
    note_.claims.clear();
    for (std::size_t claim : practice_.log().claims)
      note_.claims.push_back({in_words(netlist_.harness, faults_[claim]), {}});
    write_file(log_, as_exercise_file(netlist_.harness, record_, note_));
    kept_ = true;
  }

  const Netlist& netlist_;
  const std::vector<Fault>& faults_;
  Job job_;
  ExerciseNote note_;
  Practice& practice_;
  std::string log_;
  Record record_;
  std::size_t given_ = 0;
  bool kept_ = false;
  Terminal terminal_;
};

// What the log of an earlier sitting has; nothing where there is none.
PracticeLog earlier_log(Run& run, const Netlist& netlist, const std::vector<Fault>& faults,
                        const std::string& seal, const std::string& log) {
  PracticeLog earlier;
  if (kind_of(log) != "a file") return earlier;
  const CommandLine line = about(run, run.line.harness, log);
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  const Job job = load_job(one, netlist);
  run.texts = one.texts;
  const ExerciseNote note = load_note(one, log);
  if (note.seal != seal) throw bad_input("U341", "is there already, and is no log of this exercise", log);
  std::vector<Observation> seen = job.weighed();
  seen.erase(seen.begin(), seen.begin() + static_cast<std::ptrdiff_t>(std::min(seen.size(), note.given)));
  earlier.probes = std::move(seen);
  for (const NamedFault& claim : note.claims)
    earlier.claims.push_back(find_fault_of(netlist.harness, faults, claim.words, log, claim.at));
  return earlier;
}

}  // namespace

ExitCode exercise_make_command(Run& run) {
  const Netlist netlist = load_searchable(run);
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  ExerciseOptions options;
  options.level = static_cast<int>(run.line.level);
  static_cast<Circumstances&>(options) = conditions.circumstances();
  options.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  options.temperature = conditions.temperature;
  options.seed = run.line.seed;
  const std::vector<Fault> faults = faults_at(harness, options.stage);
  if (run.line.fault.size() > 1) throw WrongUsage{"--fault: one is enough, all exercises are about it"};
  if (!run.line.fault.empty())
    options.chosen = find_fault_of(harness, faults, run.line.fault.front(), run.line.harness);

  // Made before anything is written.
  ExerciseMaker maker(harness, netlist.id, options);
  std::vector<Exercise> exercises;
  for (std::size_t n = 1; n <= run.line.count; ++n) {
    auto exercise = maker.make(static_cast<int>(n));
    if (!exercise) {
      throw bad_input("U342",
                      options.chosen
                          ? fmt::format("no reading on offer at level {} settles '{}'", options.level,
                                        in_words(harness, faults[*options.chosen]))
                          : fmt::format("no exercise of level {} can be made of it", options.level),
                      run.line.harness);
    }
    exercises.push_back(std::move(*exercise));
  }
  const fs::path folder(run.line.output);
  const fs::path keys = folder.lexically_normal().string().ends_with('/')
                            ? fs::path(folder.lexically_normal().parent_path().string() + "-keys")
                            : fs::path(folder.string() + "-keys");
  make_folder(folder);
  make_folder(keys);
  const std::string named = harness_beside(run, folder);
  Heading for_keys = run.heading;
  for_keys.harness_file = harness_beside(run, keys);
  for (const Exercise& exercise : exercises) {
    const std::string name = fmt::format("{:02}", exercise.number);
    const auto sheet = [&](const char* end) { return (folder / (name + end)).string(); };
    const auto key = [&](const char* end) { return (keys / (name + end)).string(); };
    write_file(sheet(".yaml"), exercise_file(netlist, faults, options, exercise, named));
    write_file(sheet(".md"), sheet_as_markdown(run.heading, harness, options, exercise));
    write_file(sheet(".html"), sheet_as_html(run.heading, harness, options, exercise, netlist.places));
    write_file(key(".yaml"), key_as_yaml(for_keys, harness, faults, options, exercise));
    write_file(key(".md"), key_as_markdown(run.heading, harness, faults, options, exercise));
    write_file(key(".xml"), as_qti(harness, faults, exercise));
  }
  if (run.line.json) {
    run.out << made_as_json(run.heading, folder.string(), keys.string(), exercises.size());
  } else {
    run.out << fmt::format("{} exercises in {}, their keys in {}\n", exercises.size(), folder.string(),
                           keys.string());
  }
  return ExitCode::Well;
}

ExitCode exercise_work_command(Run& run) {
  const std::string& file = run.line.exercise;
  const CommandLine line = about(run, harness_of(run, file), file);
  Run one{line, run.heading, run.texts, 0, run.out, run.err, run.columns};
  const Netlist netlist = load_searchable(one);
  Job job = load_job(one, netlist);
  const ExerciseNote note = load_note(one, file);
  const auto content = opened(note.seal);
  if (!content) throw bad_input("U343", "can't be worked on: its seal is broken or missing", file);
  const std::vector<Fault> faults = faults_at(netlist.harness, job.stage);
  for (const Sealed::Ill& ill : content->ills) {
    if (std::none_of(faults.begin(), faults.end(),
                     [&](const Fault& fault) { return fault_id(netlist.harness, fault) == ill.fault; }))
      throw bad_input("U343", "can't be worked on: its seal is of another harness", file);
  }
  SimulationOptions options;
  options.stage = job.stage;
  options.meter = job.conditions.meter;
  options.temperature = job.conditions.temperature;
  const std::string log = log_name(run);
  Practice practice(netlist.harness, faults, *content, options,
                    earlier_log(one, netlist, faults, note.seal, log));
  Desk desk(netlist, faults, std::move(job), note, practice, log);
  desk.call(run.line.by);
  return desk.work();
}

namespace {

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
  const CommandLine line = about(run, open.harness_file, {});
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

Marked mark_file(Run& run, const std::string& file, const MarkRule& rule,
                 std::map<std::string, OpenKey>& keys) {
  // Which exercise it answers says which key, and that says which harness.
  const ExerciseNote note = load_note(run, file);
  const std::string& number = note.number;
  if (!std::all_of(number.begin(), number.end(), [](unsigned char c) { return std::isalnum(c) != 0; }))
    throw bad_input("U340", fmt::format("'{}' is no number of an exercise", number.substr(0, 60)), file);
  if (!keys.count(number)) keys.emplace(number, open_key(run, number));
  const OpenKey& open = keys.at(number);
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
  marked.attempt.heard = job.sheet.heard;
  marked.attempt.readings_given = open.sheet.level <= 2;
  for (const NamedFault& claim : note.claims) {
    marked.claims.push_back(claim.words);
    marked.attempt.claims.push_back(find_fault(harness, open.faults, claim.words).fault);
  }
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
    give(run, as_csv(marks));
  } else {
    answer(run, marks);
  }
  return ExitCode::Well;
}

}  // namespace lugwise::app
