#include "diagnosis/inside/reasoning.h"

#include <fmt/format.h>

#include <algorithm>

namespace lugwise::diagnosis::inside {

namespace {

// Something unlisted this likely: what would have to differ is looked for, among so many points; it must explain the
// readings so much better than the best that is listed.
constexpr double kUnexplained = 0.2;
constexpr std::size_t kMostJoined = 60;
constexpr std::size_t kMostDiffers = 3;
constexpr double kDiffersEnough = 5;

}  // namespace

// Readings that nothing listed explains: what would have to be joined, though the netlist does not say so, and the
// listed one that leaves least.
void Reasoning::differ() {
  std::size_t left = 0;
  for (const Comparison& each : answer_.readings) left += each.doubtful ? 1 : 0;
  if (answer_.verdict != Verdict::Unsure || usable_.empty()) return;
  if (answer_.unmodelled < kUnexplained && left < 2) return;
  std::vector<PointId> points;
  for (std::uint32_t i = 0; i < harness_.points().size(); ++i) {
    const PointRole role = harness_.points()[i].role;
    const bool lug = role == PointRole::Lug || role == PointRole::Lead || role == PointRole::Surface;
    if (lug && model_.circuit(model_.probe(usable_.front())).has(PointId{i})) points.push_back(PointId{i});
  }
  if (points.size() > kMostJoined) points.resize(kMostJoined);
  struct Joined {
    double log;
    PointId a, b;
  };
  std::vector<Joined> found;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = i + 1; j < points.size(); ++j) {
      Fault joined;
      joined.mode = Mode::Short;
      joined.site = Site::Lugs;
      joined.a = points[i];
      joined.b = points[j];
      joined.points = {joined.a, joined.b};
      found.push_back({judge_.consider(joined), joined.a, joined.b});
    }
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Joined& x, const Joined& y) { return x.log > y.log; });
  const double best = of_suspect_.empty() ? sound_.log : std::max(sound_.log, answers_[of_suspect_[0]].log);
  for (const Joined& each : found) {
    if (answer_.differs.size() >= kMostDiffers || each.log < best + kDiffersEnough) break;
    answer_.differs.push_back(
        fmt::format("{} and {} would have to be joined", harness_[each.a].name, harness_[each.b].name));
  }
  if (!answer_.differs.empty() || of_suspect_.empty()) return;
  std::vector<std::string> unexplained;
  for (const Comparison& each : answer_.readings) {
    if (each.doubtful) unexplained.push_back(std::to_string(number_of(each.observation)));
  }
  answer_.differs.push_back(fmt::format(
      "of all that is listed this leaves least: {}{}", in_words(harness_, answer_.suspects[0].fault),
      unexplained.empty()
          ? std::string()
          : fmt::format("; it does not explain {} {}", unexplained.size() == 1 ? "reading" : "readings",
                        fmt::join(unexplained, ", "))));
}

}  // namespace lugwise::diagnosis::inside
