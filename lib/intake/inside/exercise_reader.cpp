#include "intake/inside/exercise_reader.h"

#include <fmt/format.h>

#include <string_view>

#include "intake/inside/fields.h"
#include "intake/value.h"

namespace lugwise::inside {

std::string in_two_digits(const std::string& number) { return number.size() == 1 ? "0" + number : number; }

ExerciseNote read_exercise(const Node& node, Span at, Diagnostics& diagnostics) {
  ExerciseNote note;
  if (!as_map(node, "'exercise'", diagnostics)) return note;
  Fields fields(node, "'exercise'", at, {"number", "level", "seal", "by", "given"}, diagnostics);
  const auto text = [&](std::string_view key, std::string& into) {
    const Node* value = fields.find(key);
    if (!value) return;
    if (const std::string* words = as_text(*value, fmt::format("'{}'", key), diagnostics)) into = *words;
  };
  fields.need("number");
  text("number", note.number);
  note.number = in_two_digits(note.number);
  text("seal", note.seal);
  text("by", note.by);
  const auto count = [&](std::string_view key, Limits limits, double usual) {
    const Node* value = fields.find(key);
    if (!value) return usual;
    return as_value(*value, fmt::format("'{}'", key), "R412", parse_number, limits, diagnostics)
        .value_or(usual);
  };
  note.level = static_cast<int>(count("level", {1, 4, "from 1 to 4"}, 1));
  note.given = static_cast<std::size_t>(count("given", {0, 10'000, "a count of readings"}, 0));
  return note;
}

}  // namespace lugwise::inside
