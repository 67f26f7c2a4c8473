#include "record/exercise_file.h"

#include <fmt/format.h>

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
