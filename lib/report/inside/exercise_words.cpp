#include "report/inside/exercise_words.h"

#include <fmt/format.h>

#include "fault/naming.h"
#include "report/inside/finding.h"

namespace lugwise::report {
inline namespace inside {

std::string number_in_words(const Exercise& exercise) { return fmt::format("{:02}", exercise.number); }

std::string unusual_in_words(const Harness& harness, const Setting& setting) {
  const Setting usual(harness);
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    const bool select = harness[control].kind == PartKind::Switch;
    if (select || !setting.alike(usual, control))
      places.push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  return fmt::format("{}", fmt::join(places, ", "));
}

std::string complaints_in_words(const Harness& harness, const Exercise& exercise) {
  std::vector<std::string> words;
  for (const Heard& one : exercise.heard) words.push_back(in_words(harness, one));
  return words.empty() ? "none: it is in for a check" : fmt::format("{}", fmt::join(words, "; "));
}

std::vector<std::string> group_in_words(const Harness& harness, const std::vector<Fault>& faults,
                                        const std::vector<std::size_t>& group) {
  std::vector<std::string> words;
  for (std::size_t f : group) words.push_back(in_words(harness, faults[f]));
  return words;
}

}  // namespace inside
}  // namespace lugwise::report
