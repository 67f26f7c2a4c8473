#include "report/inside/strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

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

std::string strip_as_svg(const Batch& batch, const StepSeries& series) {
  constexpr double kWidth = 420, kHeight = 44, kMargin = 10, kMiddle = 24;
  const auto scale = scale_of(batch, series);
  if (!scale) return {};
  const auto x = [&](double value) { return kMargin + scale->share(value) * (kWidth - 2 * kMargin); };
  const int number = batch.plan.steps[series.step].number;
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:g} {1:g}\" width=\"{0:g}\" "
      "height=\"{1:g}\" role=\"img\" aria-label=\"Step {2}: readings against the limits\">\n"
      "<rect x=\"{3:.1f}\" y=\"12\" width=\"{4:.1f}\" height=\"24\" fill=\"#eee\"/>\n",
      kWidth, kHeight, number, x(scale->low), x(scale->high) - x(scale->low));
  const auto mark = [&](double value, const char* look) {
    svg += fmt::format("<line x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"8\" y2=\"40\" {1}/>\n", x(value), look);
  };
  mark(scale->low, "stroke=\"#000\" stroke-width=\"2\"");
  mark(scale->high, "stroke=\"#000\" stroke-width=\"2\"");
  if (series.middle) mark(*series.middle, "stroke=\"#000\" stroke-width=\"1\" stroke-dasharray=\"3 3\"");
  for (const StepSeries::Point& point : series.points) {
    const double at = point.open ? kWidth - kMargin : x(point.value);
    svg += fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:g}\" r=\"4\" stroke=\"#000\" stroke-width=\"1.5\" fill=\"{}\" "
        "fill-opacity=\"0.55\"/>\n",
        at, kMiddle, passed(batch, point) ? "#000" : "#fff");
  }
  return svg + "</svg>\n";
}

}  // namespace inside
}  // namespace lugwise::report
