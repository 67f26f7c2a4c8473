#include "record/repair.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string>

#include "source/nearest.h"

namespace lugwise {
namespace {

// The most words that the name of a wire is looked for in.
constexpr std::size_t kLongestName = 12;

constexpr std::string_view kBetween[] = {"the",     "a",      "joint", "blob", "lead", "wire",
                                         "contact", "solder", "lug",   "of",   "at",   "on",
                                         "in",      "from",   "to",    "and",  "that", "between"};

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    if (to > from) words.emplace_back(text.substr(from, to - from));
    from = to + 1;
  }
  return words;
}

// Adds the points of the longest name that begins at a word, as a wire's name may be of several; how many words it took.
std::size_t take_name(const Harness& harness, const std::vector<std::string>& words, std::size_t from,
                      std::vector<PointId>& points) {
  for (std::size_t n = std::min(words.size() - from, kLongestName); n > 0; --n) {
    const auto first = words.begin() + static_cast<std::ptrdiff_t>(from);
    const std::string name = fmt::format("{}", fmt::join(first, first + static_cast<std::ptrdiff_t>(n), " "));
    if (const auto point = harness.find_point(name)) {
      points.push_back(*point);
      return n;
    }
    if (const auto part = harness.find_part(name)) {
      points.insert(points.end(), harness[*part].points.begin(), harness[*part].points.end());
      return n;
    }
  }
  return 0;
}

}  // namespace

std::optional<std::vector<PointId>> find_repair(const Harness& harness, std::string_view text,
                                                Diagnostics& diagnostics, Span at) {
  constexpr const char* kHow = "name a point or a part, as 'joint at volume.case'";
  const std::vector<std::string> words = words_of(text);
  std::vector<PointId> points;
  for (std::size_t i = 0; i < words.size();) {
    std::size_t taken = take_name(harness, words, i, points);
    const bool between = std::find(std::begin(kBetween), std::end(kBetween), words[i]) != std::end(kBetween);
    if (taken == 0 && between) taken = 1;
    if (taken == 0) {
      std::vector<std::string> names = harness.point_names();
      for (const Part& part : harness.parts()) names.push_back(part.name);
      const auto nearest = nearest_name(words[i], names);
      diagnostics.error("U314", at, fmt::format("no such place: '{}'", words[i].substr(0, 100)))
          .note(nearest ? fmt::format("nearest name is '{}'", *nearest) : kHow);
      return std::nullopt;
    }
    i += taken;
  }
  if (points.empty() && !text.empty()) {
    diagnostics.error("U314", at, fmt::format("no place in '{}'", text.substr(0, 100))).note(kHow);
    return std::nullopt;
  }
  return points;
}

}  // namespace lugwise
