#include "record/exercise_file.h"

#include <fmt/format.h>

#include <string_view>
#include <utility>

namespace lugwise {
namespace {

// In quotes whatever it is: names and words of people.
std::string quoted(std::string_view text) {
  std::string result = "\"";
  for (const char letter : text) {
    if (letter == '"' || letter == '\\') result += '\\';
    result += static_cast<unsigned char>(letter) < ' ' ? ' ' : letter;
  }
  return result + "\"";
}

}  // namespace

std::string as_exercise_file(const Netlist& netlist, const ExerciseOptions& options, const Exercise& exercise,
                             const std::string& seal, const std::string& harness_file) {
  Record record;
  record.harness_file = harness_file;
  record.values = netlist.values;
  record.plan.id = kNoPlan;
  if (options.stage) record.plan.stage = netlist.harness.stages()[*options.stage].name;
  if (exercise.level != 1) record.plan.aim = Aim::Thorough;
  record.meter = options.meter;
  record.temperature = options.temperature;
  record.heard = exercise.heard;
  for (const Observation& seen : exercise.given) {
    Deed deed;
    deed.seen = seen;
    deed.seen.step.reset();
    record.deeds.push_back(std::move(deed));
  }
  ExerciseNote note;
  note.number = fmt::format("{:02}", exercise.number);
  note.level = exercise.level;
  note.given = exercise.given.size();
  note.seal = seal;
  return as_exercise_file(netlist.harness, record, note);
}

std::string as_exercise_file(const Harness& harness, const Record& record, const ExerciseNote& note) {
  std::string text = as_readings_file(harness, record);
  text += fmt::format("exercise:\n  number: {}\n  level: {}\n", quoted(note.number), note.level);
  if (note.given > 0) text += fmt::format("  given: {}\n", note.given);
  if (!note.by.empty()) text += fmt::format("  by: {}\n", quoted(note.by));
  if (!note.seal.empty()) text += fmt::format("  seal: {}\n", quoted(note.seal));
  if (!note.claims.empty()) text += "claims:\n";
  for (const NamedFault& claim : note.claims) text += fmt::format("  - {}\n", quoted(claim.words));
  return text;
}

}  // namespace lugwise
