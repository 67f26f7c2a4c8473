#include "exercise_folder.h"

#include <filesystem>

#include "file.h"
#include "intake/attempt.h"
#include "intake/readings.h"

namespace lugwise::app {

namespace fs = std::filesystem;

ExerciseNote load_note(Run& run, const std::string& file) {
  Diagnostics problems(file);
  std::string& text = run.texts[file];
  if (text.empty()) text = read_file(file);
  const auto note = read_exercise(text, problems);
  if (problems.failed()) throw BadInput{problems.sorted()};
  if (!note) throw bad_input("U340", "is no exercise, nor an answer to one: it has no 'exercise'", file);
  return *note;
}

CommandLine about(const Run& run, const std::string& harness, const std::string& readings) {
  CommandLine line = run.line;
  line.harness = harness;
  line.readings = readings;
  return line;
}

std::string beside(const std::string& file, const std::string& named) {
  return named.empty() ? named : (fs::path(file).parent_path() / named).lexically_normal().string();
}

std::string harness_of(Run& run, const std::string& file) {
  const std::string named = harness_named_in(run.texts[file] = read_file(file));
  if (named.empty()) throw bad_input("U340", "names no harness: it is no exercise", file);
  return beside(file, named);
}

}  // namespace lugwise::app
