#include "report/inside/strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "drawing/svg.h"
#include "report/inside/shown.h"

namespace lugwise::report {
inline namespace inside {
namespace {

constexpr double kAround = 0.15;  // of the width between the limits that is shown on either side

struct Scale {
  double low = 0, high = 0;    // the limits
  double first = 0, last = 0;  // what is shown
  double share(double value) const { return std::clamp((value - first) / (last - first), 0.0, 1.0); }
};

// None where a sound harness shows OL, or nothing was read.
std::optional<Scale> scale_of(const Batch& batch, const StepSeries& series) {
  const Step& step = batch.plan.steps[series.step];
  const Expected& expected = series.end == 1 ? step.end : step.expected;
  if (!step.capacitance && (expected.open || expected.unlimited)) return std::nullopt;
  const Window& shows = series.end == 1 ? step.end_shows : step.shows;
  Scale scale;
  scale.low = step.capacitance ? step.capacitance->shows.low : shows.low;
  scale.high = step.capacitance ? step.capacitance->shows.high : shows.high;
  if (!(scale.high > scale.low)) return std::nullopt;
  const double around = kAround * (scale.high - scale.low);
  scale.first = scale.low - around;
  scale.last = scale.high + around;
  return scale;
}

bool passed(const Batch& batch, const StepSeries::Point& point) {
  return batch.units[point.unit].decision == Decision::Pass;
}

}  // namespace

std::string strip_as_text(const Batch& batch, const StepSeries& series) {
  constexpr std::size_t kColumns = 41;
  const auto scale = scale_of(batch, series);
  if (!scale) return {};
  std::vector<std::size_t> counts(kColumns, 0);
  const auto column = [&](double value) {
    return static_cast<std::size_t>(scale->share(value) * (kColumns - 1) + 0.5);
  };
  for (const StepSeries::Point& point : series.points)
    ++counts[point.open ? kColumns - 1 : column(point.value)];
  std::string text(kColumns, ' ');
  text[column(scale->low)] = '|';
  text[column(scale->high)] = '|';
  for (std::size_t i = 0; i < kColumns; ++i) {
    if (counts[i] == 1) text[i] = 'o';
    if (counts[i] > 1) text[i] = counts[i] > 9 ? '#' : static_cast<char>('0' + counts[i]);
  }
  return text;
}

std::string strip_as_svg(const Meter& meter, const Batch& batch, const StepSeries& series) {
  constexpr double kWidth = 560, kHeight = 40, kMargin = 8, kMiddle = 14, kHalf = 10, kAbove = 12;
  constexpr std::size_t kMany = 30;
  const auto scale = scale_of(batch, series);
  if (!scale) return {};
  const auto x = [&](double value) { return kMargin + scale->share(value) * (kWidth - 2 * kMargin); };
  const int number = batch.plan.steps[series.step].number;
  const Step& step = batch.plan.steps[series.step];
  const Shown limits = step.capacitance ? shown(meter, *step.capacitance)
                       : series.end ? shown(meter, step.range, *series.end == 0 ? step.expected : step.end,
                                            *series.end == 0 ? step.shows : step.end_shows)
                                    : shown(meter, step.range, step.expected, step.shows);
  svg::Pen pen;
  pen.box({x(scale->low), kMiddle - kHalf, x(scale->high) - x(scale->low), 2 * kHalf}, 0,
          svg::filled("#eee"));
  const auto mark = [&](double value, double width, const char* more) {
    pen.line({x(value), kMiddle - kHalf - 3}, {x(value), kMiddle + kHalf + 3},
             svg::stroke("#000", width, more));
  };
  const auto label = [&](double value, const std::string& text) {
    pen.words({x(value), kHeight - 3}, text,
              "font-size=\"10\" font-family=\"sans-serif\" text-anchor=\"middle\"");
  };
  mark(scale->low, 2, "");
  mark(scale->high, 2, "");
  label(scale->low, limits.low);
  label(scale->high, limits.high);
  if (series.middle) mark(*series.middle, 1, "stroke-dasharray=\"3 3\"");
  // In the order of their places, each in the first row where it covers no other.
  std::vector<std::pair<double, const StepSeries::Point*>> places;
  for (const StepSeries::Point& point : series.points)
    places.emplace_back(point.open ? kWidth - kMargin : x(point.value), &point);
  std::stable_sort(places.begin(), places.end(),
                   [](const auto& one, const auto& other) { return one.first < other.first; });
  const bool many = places.size() > kMany;
  const double radius = many ? 1.8 : 3;
  std::vector<double> taken(many ? 5 : 3, -kWidth);  // up to where, by row
  for (const auto& [at, point] : places) {
    auto row = taken.begin();
    while (row != taken.end() && *row > at - 2 * radius) ++row;
    if (row == taken.end()) row = std::min_element(taken.begin(), taken.end());
    *row = at;
    const auto rank = static_cast<int>(row - taken.begin());  // 0 in the middle, 1 above, 2 below
    const double up = (rank + 1) / 2 * 2 * radius * (rank % 2 == 1 ? 1 : -1);
    const UnitRecord& unit = batch.units[point->unit];
    const std::string reads = point->open        ? limits.above
                              : step.capacitance ? lugwise::in_words(Farads{point->value})
                                                 : value_on(unit.conditions.meter, step.range, point->value);
    pen.circle({at, kMiddle - up}, radius,
               svg::outlined(passed(batch, *point) ? "#000" : "#fff", "#000", many ? 0.8 : 1.2,
                             "fill-opacity=\"0.55\""),
               fmt::format("{}: {}", unit.serial, reads));
  }
  return svg::framed({{0, -kAbove, kWidth, kHeight + kAbove},
                      kWidth,
                      kHeight + kAbove,
                      fmt::format("strip-{}-{}", number, series.end ? *series.end + 1 : 0),
                      fmt::format("Step {}: readings against the limits", number),
                      ""},
                     pen.take());
}

}  // namespace inside
}  // namespace lugwise::report
