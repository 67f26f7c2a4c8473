#include "intake/reading_problem.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "intake/inside/meant.h"
#include "intake/inside/quantity.h"

namespace lugwise {

using namespace intake::inside;
namespace {

std::string ranges_of(const std::vector<Range>& ranges, std::string (*name)(double)) {
  std::string listed;
  for (const Range& range : ranges) listed += (listed.empty() ? "" : ", ") + name(range.top);
  return listed;
}

bool multiple_of(Ohms value, Ohms step) {
  const double times = value / step;
  return std::abs(times - std::round(times)) < 1e-6 * std::max(1.0, std::abs(times));
}

// More digits typed than the range has; where one of the last digit is no power of ten, the next finer power counts.
bool too_fine(const Meter& meter, const Range& range, const Shown& shown) {
  const Ohms step = std::pow(10.0, std::floor(std::log10(meter.step(range)) + 1e-9));
  if (shown.value == 0) return false;
  if (shown.bare) return !multiple_of(shown.value, step);
  return shown.resolution < step * 0.999 || !multiple_of(shown.value, step);
}

// The typed digits with a letter behind them that would make them fit: 6.71 is 6.71k on the 20k range.
std::string with_letter(const Meter& meter, const std::vector<Range>& ranges, const Shown& shown,
                        std::string_view typed) {
  const auto quantity = split(typed);
  if (!quantity || !quantity->suffix.empty()) return {};
  for (const auto& [size, letter] : {std::pair{1e3, "k"}, std::pair{1e6, "M"}}) {
    const Shown other{Shows::Value, shown.value * size, shown.resolution * size, false, false};
    for (const Range& range : ranges) {
      if (!over_range(meter, range, other.value) && !too_fine(meter, range, other))
        return likely(quantity->digits + letter);
    }
  }
  return {};
}

}  // namespace

std::string ReadingProblem::in_file(std::string_view typed, TypedAs as) const {
  if (!fits || (as == TypedAs::Reading && !hint.empty())) return hint;
  const std::string top = *fits < 1 ? capacitance_range_name(*fits) : range_name(*fits);
  return as == TypedAs::SweepEnd ? fmt::format("an end may be on a range of its own: '{} on {}'", typed, top)
                                 : fmt::format("if it was read on another range: 'range: {}'", top);
}

std::optional<ReadingProblem> reading_problem(const Meter& meter, std::optional<double> range,
                                              const Shown& shown, std::string_view typed) {
  using Kind = ReadingProblem::Kind;
  std::vector<Range> ranges = shown.farads ? meter.capacitance : meter.ranges;
  const auto name = shown.farads ? capacitance_range_name : range_name;
  if (shown.farads && ranges.empty()) {
    return ReadingProblem{Kind::NoSuchRange, "the meter has no capacitance ranges",
                          "say which under 'meter': 'capacitance: [2n, 20n, 200n, 2u, 20u]'"};
  }
  if (range) {
    std::erase_if(ranges, [&](const Range& other) { return std::abs(other.top - *range) > 1e-6 * *range; });
    if (ranges.empty()) {
      return ReadingProblem{
          Kind::NoSuchRange,
          fmt::format("the meter has no {}range of {}", shown.farads ? "capacitance " : "", name(*range)),
          "its ranges are " + ranges_of(shown.farads ? meter.capacitance : meter.ranges, name)};
    }
  }
  if (shown.shows != Shows::Value || ranges.empty()) return std::nullopt;
  if (over_range(meter, ranges.back(), shown.value)) {
    return ReadingProblem{
        Kind::AboveRange,
        fmt::format("{} is above {}", quoted(typed),
                    range ? fmt::format("the {} range", name(*range))
                          : fmt::format("the meter's highest {}range", shown.farads ? "capacitance " : "")),
        fmt::format("the display says {} there", meter.over)};
  }
  // An automatic meter takes the lowest range that holds the value; by hand it may be any.
  if (!range && meter.automatic) {
    const auto lowest = std::find_if(ranges.begin(), ranges.end(),
                                     [&](const Range& r) { return !over_range(meter, r, shown.value); });
    ranges.assign(1, *lowest);
  }
  for (const Range& one : ranges) {
    if (!over_range(meter, one, shown.value) && !too_fine(meter, one, shown)) return std::nullopt;
  }
  const std::string where =
      ranges.size() == 1 ? fmt::format("the {} range", name(ranges.front().top)) : "any range of the meter";
  ReadingProblem problem{Kind::TooManyDigits, fmt::format("{} is finer than {} shows", quoted(typed), where),
                         with_letter(meter, range ? ranges : meter.ranges, shown, typed)};
  for (const Range& one : shown.farads ? meter.capacitance : meter.ranges) {
    if (over_range(meter, one, shown.value) || too_fine(meter, one, shown)) continue;
    problem.fits = one.top;
    break;
  }
  return problem;
}

}  // namespace lugwise
