#include "handling/workload.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>

#include "circuit/clusters.h"
#include "handling/handling.h"

namespace lugwise {
namespace {

constexpr double kProgram = 12e6;  // bytes of a run that searches nothing

// Tables of ohms and what is made of them, for each pair of places.
double bytes_of_tables(const SearchSize& size) {
  return 300 * static_cast<double>(size.points) * static_cast<double>(size.points);
}

// What the explanations that stand make of every pair, in the settings that are tried for the next probe; measured on the
// largest: two dozen suspects of two sizes each.
double bytes_of_probes(const SearchSize& size) {
  return static_cast<double>(size.points) * static_cast<double>(size.points) * sizeof(double) * 16 * 48;
}

// The next probe is looked for in up to 16 settings.
double of_settings(const SearchSize& size) {
  return std::min(1.0, 0.5 + static_cast<double>(size.settings) / 30);
}

// Each fault's part in each reading.
double judgements(const SearchSize& size, std::size_t readings) {
  return static_cast<double>(size.faults()) * static_cast<double>(readings);
}

// A network of many loops takes longer to solve.
double harder(const SearchSize& size) { return 1 + static_cast<double>(size.loops) / 20; }

std::size_t pairs_among(std::size_t points) { return points > 0 ? points * (points - 1) / 2 : 0; }

// Of each point one of those it may conduct to, the same for all of them.
std::vector<std::uint32_t> roots_of(const Harness& harness) {
  Clusters clusters(harness.points().size());
  for (const Element& element : harness.elements()) clusters.join(element.a, element.b);
  for (const Part& part : harness.parts()) {
    if (part.pot) clusters.join(part.pot->wiper_place, part.pot->lug1);
  }
  return clusters.of_each();
}

std::size_t joined_among(const std::vector<PointId>& points, const std::vector<std::uint32_t>& roots) {
  std::map<std::uint32_t, std::size_t> together;
  for (PointId point : points) ++together[roots[point.index]];
  std::size_t pairs = 0;
  for (const auto& [root, count] : together) pairs += pairs_among(count);
  return pairs;
}

}  // namespace

SearchSize size_of_search(const Harness& harness, std::optional<std::size_t> stage,
                          const std::vector<Fault>& faults, Depth depth) {
  SearchSize size;
  std::size_t before = 0, joined_before = 0;
  const std::vector<std::uint32_t> roots = roots_of(harness);
  bool first = true;
  for (const Access& access : accesses(harness, stage)) {
    if (depth == Depth::Outside && !first && access.depth > 0) break;
    first = false;
    const std::vector<PointId> points = reachable(harness, stage, access.depth);
    const std::size_t joined = joined_among(points, roots);
    size.points = points.size();
    size.pairs += pairs_among(size.points) - pairs_among(before);
    size.joined += joined - joined_before;
    // With the cavity open it is another circuit than with it closed; what lies under a cover makes none.
    before = access.depth > 0 ? size.points : 0;
    joined_before = access.depth > 0 ? joined : 0;
  }
  size.settings = settings_to_try(harness, stage).size();
  const std::size_t elements = harness.elements().size() + 1;
  size.loops = elements - std::min(elements, harness.points().size());
  for (const Fault& fault : faults) {
    std::size_t& count = fault.mode == Mode::Open    ? size.opens
                         : fault.mode == Mode::Short ? size.shorts
                                                     : size.others;
    ++count;
  }
  return size;
}

Workload work_of_effects(const SearchSize& size) {
  const double settings = static_cast<double>(size.settings);
  return {0.02 + 7e-9 * size.readings() * static_cast<double>(size.shorts + size.others),
          kProgram + 8 * settings * static_cast<double>(size.faults())};
}

Workload work_of_plan(const SearchSize& size, Aim aim) {
  const double readings = size.readings();
  const double loops = static_cast<double>(size.loops);
  const double least = kProgram + bytes_of_tables(size);
  if (aim == Aim::Usual)
    return {0.02 + 0.01 * loops + 1.1e-8 * readings * static_cast<double>(size.opens + size.shorts),
            least + 135 * size.closed_readings()};
  return {0.05 + 0.02 * loops + 2.2e-8 * readings * static_cast<double>(size.faults()),
          least + (aim == Aim::Quick ? 250 : 205) * size.closed_readings()};
}

std::size_t expected_steps(const SearchSize& size) { return 4 + size.opens / 2; }

Workload work_of_diagnosis(const SearchSize& size, std::size_t readings) {
  const double judged = judgements(size, readings);
  const double square = judged * static_cast<double>(readings);
  Workload work = work_of_plan(size, Aim::Usual);
  work.seconds += 7e-6 * harder(size) * judged + 5e-8 * square;
  // Each fault among the readings, of which no more is kept than this, and what those that stand make of every pair.
  constexpr double kMostKept = 120e6;
  work.bytes += std::min(kMostKept, 1000 * judged + 2 * square);
  return work;
}

double bytes_of_study(const SearchSize& size, std::size_t cases) {
  constexpr double kMostKept = 250e6;
  const double many = static_cast<double>(cases);
  const double kept = std::min(kMostKept, 4000 * judgements(size, expected_steps(size)) * (1 + many / 300));
  // Most of it after the first thirty.
  return 8e6 + std::min(1.0, 0.25 + many / 30) * (of_settings(size) * bytes_of_probes(size) + kept);
}

Workload work_of_study(const SearchSize& size, std::size_t cases, std::size_t threads) {
  const std::size_t readings = expected_steps(size);
  const double judged = judgements(size, readings);
  const double a_case = 1e-3 + 2e-6 * harder(size) * judged + 4e-8 * judged * static_cast<double>(readings);
  Workload work = work_of_plan(size, Aim::Usual);
  work.seconds += a_case * static_cast<double>(cases);
  work.bytes += bytes_of_study(size, cases / threads) * static_cast<double>(threads);
  return work;
}

Workload work_of_exercises(const SearchSize& size, int level, std::size_t count) {
  const double pairs = static_cast<double>(size.points) * static_cast<double>(size.points);
  const double readings = static_cast<double>(expected_steps(size));
  const double settings = of_settings(size);
  const double very_many = std::max(1.0, static_cast<double>(size.settings) / 300);
  // What even the smallest takes: three ways to its answer are looked at.
  const double least = 0.04 + 2e-3 * static_cast<double>(size.points);
  const double judged = 4000 * judgements(size, expected_steps(size));
  Workload work{0.02, kProgram};
  double each = 0;
  switch (level) {
    case 1:
    case 2:
      work = work_of_plan(size, level == 1 ? Aim::Usual : Aim::Thorough);
      each = least + (level == 1 ? 1.5e-4 : 1.6e-4) * pairs * settings * std::pow(very_many, 1.5) *
                         (0.7 + readings / 50);
      work.bytes += 8e6 + settings * (1.5 * bytes_of_probes(size) + std::min(120e6, judged));
      break;
    case 3:
      each = least + 2e-4 * pairs * settings * very_many;
      work.bytes += 20e6 + bytes_of_probes(size);
      break;
    default:
      work = work_of_plan(size, Aim::Thorough);
      each = 1.7e-3 * pairs;
      work.bytes += 8e6 + settings * (1.5 * bytes_of_probes(size) + std::min(120e6, judged)) +
                    std::min(100e6, 30e3 * pairs);
  }
  work.seconds += each * static_cast<double>(count);
  return work;
}

Workload work_of_marking(const SearchSize& size, std::size_t readings, std::size_t probes) {
  const Workload one = work_of_diagnosis(size, readings);
  return {one.seconds * static_cast<double>(probes), one.bytes};
}

Workload work_of_units(const SearchSize& size, Aim aim, std::size_t units) {
  const Workload usual = work_of_plan(size, Aim::Usual);
  const Workload one = work_of_diagnosis(size, expected_steps(size));
  Workload work = work_of_plan(size, aim);
  work.seconds += (one.seconds - usual.seconds) * static_cast<double>(units);
  work.bytes += one.bytes - usual.bytes;
  return work;
}

std::string in_words(const Workload& work) {
  const std::string memory = work.bytes < 995e6 ? fmt::format("{:.0f} MB", std::round(work.bytes / 1e7) * 10)
                                                : fmt::format("{:.1f} GB", work.bytes / 1e9);
  if (work.seconds < 1) return memory;
  const std::string time = work.seconds < 100    ? fmt::format("{:.0f} s", work.seconds)
                           : work.seconds < 6000 ? fmt::format("{:.0f} min", work.seconds / 60)
                                                 : fmt::format("{:.0f} h", work.seconds / 3600);
  return time + " and " + memory;
}

}  // namespace lugwise
