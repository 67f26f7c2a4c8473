#include "report/inside/coverage.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "meter/meter.h"
#include "report/inside/place.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Places that are named; the JSON output has them all.
constexpr std::size_t kOpenNamed = 6;

bool looks_for(const Scope& scope, Mode mode) {
  return std::any_of(scope.faults.begin(), scope.faults.end(),
                     [&](const Fault& fault) { return fault.mode == mode && !is_worn_track(fault); });
}

// To two figures: more than is promised.
Ohms rounded_up(Ohms ohms) {
  const double unit = std::pow(10.0, std::floor(std::log10(std::max(ohms, 1e-3))) - 1);
  return std::ceil(ohms / unit - 1e-9) * unit;
}

std::string ruled_out(const Harness& harness, const Diagnosis& diagnosis) {
  const RuledOut& shown = diagnosis.shown;
  if (shown.of == 0) return "";
  const bool wrong = diagnosis.verdict == Verdict::Fault || diagnosis.verdict == Verdict::Unsure;
  // What a wrong reading clears is another matter: a fault that alone can't explain it may still be there beside another.
  if (wrong && shown.seen == 0)
    return fmt::format("No reading that agrees rules out {} yet.",
                       shown.of == 1 ? "the one fault that the plan shows"
                                     : fmt::format("any of the {} faults that the plan shows", shown.of));
  if (shown.open.empty())
    return shown.of == 1 ? "The one fault that the plan shows is ruled out."
                         : fmt::format("All {} faults that the plan shows are ruled out.", shown.of);
  const std::string count = fmt::format("{} of the {} faults that the plan shows {} ruled out", shown.seen,
                                        shown.of, shown.seen == 1 ? "is" : "are");
  // Where something is wrong that comes first.
  if (diagnosis.verdict != Verdict::Unfinished) return count + ".";
  return fmt::format("{}; not yet: {}.", count, names_of_places(harness, shown.open, kOpenNamed));
}

}  // namespace

std::string not_looked_for(const Scope& scope) {
  std::vector<std::string> items;
  if (scope.cold) {
    const std::string half = lugwise::in_words(rounded_up(scope.cold->half));
    const std::string all = lugwise::in_words(rounded_up(scope.cold->all));
    items.push_back(
        half == all ? fmt::format("cold joints and dirty contacts below {}", half)
                    : fmt::format("cold joints and dirty contacts below {} at most places ({} at the worst)",
                                  half, all));
  } else {
    items.emplace_back("cold joints and dirty contacts");
  }
  if (!looks_for(scope, Mode::Value)) items.emplace_back("wrong values");
  if (!looks_for(scope, Mode::Misplaced)) items.emplace_back("leads in the wrong place");
  items.emplace_back("what comes and goes");
  return "Not looked for: " + listed(items) + ".";
}

std::vector<std::string> coverage_in_words(const Harness& harness, const Diagnosis& diagnosis,
                                           const std::optional<Scope>& scope) {
  std::vector<std::string> lines;
  if (const std::string line = ruled_out(harness, diagnosis); !line.empty()) lines.push_back(line);
  if (scope && !diagnosis.readings.empty()) lines.push_back(not_looked_for(*scope));
  return lines;
}

}  // namespace inside
}  // namespace lugwise::report
