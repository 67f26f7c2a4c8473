#include <fmt/format.h>

#include <filesystem>
#include <ostream>
#include <random>
#include <utility>

#include "allowance.h"
#include "command.h"
#include "exercise/exercise.h"
#include "exercise/seal.h"
#include "fault/naming.h"
#include "file.h"
#include "load.h"
#include "record/exercise_file.h"
#include "report/exercise.h"
#include "text/safe.h"
#include "typed.h"

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

// Of eighteen digits at most, as people copy it.
std::size_t drawn_seed() {
  std::random_device source;
  return std::uniform_int_distribution<std::size_t>(1, 999'999'999'999'999'999)(source);
}

using Files = std::vector<std::pair<std::string, std::string>>;  // paths and texts

// All of them, or none: exercises that are there already, and their keys, are not written over by others.
void write_all(const Files& files) {
  for (const auto& [path, text] : files) {
    if (kind_of(path).empty() || (kind_of(path) == "a file" && read_file(path) == text)) continue;
    BadInput there = bad_input(
        "U330", fmt::format("there is {} of that name already, and it is not overwritten", kind_of(path)),
        path);
    there.errors.front().note("name another folder, or move what is there away");
    throw there;
  }
  for (const auto& [path, text] : files) write_file(path, text);
}

// The harness as the exercises name it: in one text beside them, so that whoever has the folder needs nothing else.
std::string harness_beside(const Run& run, const std::string& text, const fs::path& folder, Files& files) {
  const fs::path copy = fs::path(kNetlists) / fs::path(run.line.harness).filename();
  make_folder(folder / kNetlists);
  files.emplace_back((folder / copy).string(), text);
  return copy.generic_string();
}

// All that are asked for; refused where one can't be made.
std::vector<Exercise> make_exercises(const Run& run, const Netlist& netlist, const std::vector<Fault>& faults,
                                     const ExerciseOptions& options) {
  ExerciseMaker maker(netlist.harness, netlist.id, options);
  std::vector<Exercise> exercises;
  for (std::size_t n = 1; n <= run.line.count; ++n) {
    auto exercise = maker.make(static_cast<int>(n));
    if (!exercise) {
      throw bad_input("U342",
                      options.chosen
                          ? fmt::format("no reading on offer at level {} settles '{}'", options.level,
                                        in_words(netlist.harness, faults[*options.chosen]))
                          : fmt::format("no exercise of level {} can be made of it", options.level),
                      run.line.harness);
    }
    exercises.push_back(std::move(*exercise));
  }
  return exercises;
}

// "03 has the answer of 01, 05 of 02: ..."; empty where each has its own.
std::string repeats_in_words(const std::vector<Exercise>& exercises) {
  std::vector<std::string> each;
  for (const Exercise& exercise : exercises) {
    if (!exercise.answered_by) continue;
    each.push_back(fmt::format("{:02} {}of {:02}", exercise.number, each.empty() ? "has the answer " : "",
                               *exercise.answered_by));
  }
  return each.empty() ? "" : fmt::format("{}: hardly another is left at this level", fmt::join(each, ", "));
}

}  // namespace

ExitCode exercise_make_command(Run& run) {
  const LoneNetlist lone = load_alone(run);
  const Netlist& netlist = lone.netlist;
  const Harness& harness = netlist.harness;
  const Conditions conditions = load_conditions(run, netlist);
  ExerciseOptions options;
  options.level = static_cast<int>(run.line.level);
  static_cast<Circumstances&>(options) = conditions.circumstances();
  options.stage = find_stage(harness, run.line.stage, run.line.harness, {});
  options.temperature = conditions.temperature;
  options.seed = run.line.secret_seed ? *run.line.secret_seed : drawn_seed();
  const std::vector<Fault> faults = faults_at(harness, options.stage);
  if (run.line.fault.size() > 1) throw WrongUsage{"--fault: one is enough, all exercises are about it"};
  if (!run.line.fault.empty())
    options.chosen = find_fault_of(harness, faults, run.line.fault.front(), run.line.harness);

  announce(run, work_of_exercises(search_size(harness, options.stage), options.level, run.line.count));

  const std::vector<Exercise> exercises =
      make_exercises(run, netlist, faults, options);  // before anything is written
  const fs::path folder(run.line.output);
  const fs::path keys = folder.lexically_normal().string().ends_with('/')
                            ? fs::path(folder.lexically_normal().parent_path().string() + "-keys")
                            : fs::path(folder.string() + "-keys");
  make_folder(folder);
  make_folder(keys);
  Files files;
  const std::string named = harness_beside(run, lone.text, folder, files);
  Heading for_keys = run.heading;
  for_keys.harness_file = harness_beside(run, lone.text, keys, files);
  for (const Exercise& exercise : exercises) {
    const std::string name = fmt::format("{:02}", exercise.number);
    const auto sheet = [&](const char* end) { return (folder / (name + end)).string(); };
    const auto key = [&](const char* end) { return (keys / (name + end)).string(); };
    const std::string seal = seal_of(harness, faults, exercise);
    files.emplace_back(sheet(".yaml"), as_exercise_file(netlist, options, exercise, seal, named));
    files.emplace_back(sheet(".md"), sheet_as_markdown(run.heading, harness, options, exercise));
    files.emplace_back(sheet(".html"),
                       sheet_as_html(run.heading, harness, options, exercise, netlist.places));
    files.emplace_back(key(".yaml"), key_as_yaml(for_keys, harness, faults, options, exercise, seal));
    files.emplace_back(key(".md"), key_as_markdown(run.heading, harness, faults, options, exercise));
    files.emplace_back(key(".xml"), as_qti(harness, faults, exercise));
  }
  write_all(files);
  if (run.line.json) {
    run.out << made_as_json(run.heading, folder.string(), keys.string(), exercises.size());
  } else {
    run.out << fmt::format(
        "{} {} in {}, {} in {}\n", exercises.size(), exercises.size() == 1 ? "exercise" : "exercises",
        text::in_one_line(folder.string()), exercises.size() == 1 ? "its key" : "their keys",
        text::in_one_line(keys.string()));
    if (const std::string repeats = repeats_in_words(exercises); !repeats.empty()) run.out << repeats << '\n';
  }
  return ExitCode::Well;
}

}  // namespace lugwise::app
