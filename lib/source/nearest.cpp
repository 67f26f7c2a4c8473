#include "source/nearest.h"

#include <algorithm>
#include <array>

namespace lugwise {
namespace {

constexpr std::size_t kLongestName = 64;  // longer ones are not worth guessing at

char lower(char letter) {
  return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

double difference(char a, char b) { return a == b ? 0 : lower(a) == lower(b) ? 0.5 : 1; }

// How many slips are still one name mistyped: one in every two letters, three at most.
double allowance(std::size_t length) { return std::clamp(static_cast<double>(length) / 2, 1.0, 3.0); }

// Fewer letters are no beginning of a name.
constexpr std::size_t kFewest = 3;

// Without the dashes of an option.
std::size_t letters(std::string_view name) {
  const std::size_t first = name.find_first_not_of('-');
  return first == std::string_view::npos ? 0 : name.size() - first;
}

bool begins(std::string_view name, std::string_view with) {
  return name.size() >= with.size() && std::equal(with.begin(), with.end(), name.begin(),
                                                  [](char a, char b) { return lower(a) == lower(b); });
}

}  // namespace

double edit_distance(std::string_view a, std::string_view b, double limit) {
  const double beyond = limit + 1;
  if (a.size() > kLongestName || b.size() > kLongestName) return a == b ? 0 : beyond;
  const std::size_t longer = std::max(a.size(), b.size());
  if (static_cast<double>(longer - std::min(a.size(), b.size())) > limit) return beyond;
  // Three rows of the table of distances between beginnings of the two names.
  std::array<std::array<double, kLongestName + 1>, 3> rows;
  for (std::size_t j = 0; j <= b.size(); ++j) rows[0][j] = static_cast<double>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    const auto& above = rows[(i - 1) % 3];
    const auto& twice_above = rows[(i + 1) % 3];
    auto& row = rows[i % 3];
    row[0] = static_cast<double>(i);
    double least = row[0];
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + difference(a[i - 1], b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], twice_above[j - 2] + 1);
      least = std::min(least, row[j]);
    }
    if (least > limit) return beyond;
  }
  return std::min(rows[a.size() % 3][b.size()], beyond);
}

std::optional<std::string> nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
  if (name.size() > kLongestName) return std::nullopt;
  const std::string* nearest = nullptr;
  // What was begun and not ended: the shortest it can be.
  for (const std::string& candidate : candidates) {
    const bool begun = letters(name) >= kFewest && begins(candidate, name);
    if (begun && (!nearest || candidate.size() < nearest->size())) nearest = &candidate;
  }
  if (nearest) return *nearest;
  double least = allowance(name.size());
  for (const std::string& candidate : candidates) {
    const double distance = edit_distance(name, candidate, least);
    if (distance < least || (distance == least && !nearest)) {
      nearest = &candidate;
      least = distance;
    }
  }
  if (nearest) return *nearest;
  // What has more to it than the name.
  for (const std::string& candidate : candidates) {
    const bool longer = letters(candidate) >= kFewest && begins(name, candidate);
    if (longer && (!nearest || candidate.size() > nearest->size())) nearest = &candidate;
  }
  if (!nearest) return std::nullopt;
  return *nearest;
}

}  // namespace lugwise
