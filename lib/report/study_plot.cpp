#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/svg.h"
#include "report/study.h"

namespace lugwise {
namespace {

constexpr double kWidth = 860, kHeight = 440;
constexpr double kTop = 84, kBottom = 370;
constexpr double kLeft = 70, kRight = 400;           // of the left panel
constexpr double kBarsLeft = 500, kBarsRight = 830;  // of the right one

constexpr const char* kBlack = "black";
const std::string kThin = svg::stroke(kBlack, 1);
const std::string kDotted = svg::stroke(kBlack, 1, "stroke-dasharray=\"2 4\"");
constexpr const char* kMiddle = "text-anchor=\"middle\"";
constexpr const char* kEnd = "text-anchor=\"end\"";
constexpr const char* kHead = "font-weight=\"bold\"";

// Stated against right: on the slanted line a probability means what it says.
void draw_stated(svg::Pen& pen, const Findings& findings) {
  const auto x = [](double share) { return kLeft + share * (kRight - kLeft); };
  const auto y = [](double share) { return kBottom - share * (kBottom - kTop); };
  pen.words({kLeft, 58}, "Stated probability, and how often right", kHead);
  for (int tenth = 0; tenth <= 10; tenth += 2) {
    const double share = tenth / 10.0;
    pen.line({x(share), kBottom}, {x(share), kBottom + 5}, kThin);
    pen.words({x(share), kBottom + 20}, fmt::format("{} %", tenth * 10), kMiddle);
    pen.line({kLeft - 5, y(share)}, {kLeft, y(share)}, kThin);
    pen.words({kLeft - 9, y(share) + 4}, fmt::format("{} %", tenth * 10), kEnd);
  }
  pen.line({kLeft, kBottom}, {kRight, kBottom}, kThin);
  pen.line({kLeft, kTop}, {kLeft, kBottom}, kThin);
  pen.line({x(0), y(0)}, {x(1), y(1)}, kDotted);
  pen.words({(kLeft + kRight) / 2, kBottom + 42}, "stated of a suspect", kMiddle);
  for (const Stated& each : findings.stated) {
    if (each.claims == 0) continue;
    const double n = static_cast<double>(each.claims);
    const double right = static_cast<double>(each.right) / n;
    // Two standard errors either way, as for any share of n.
    const double spread = 2 * std::sqrt(std::max(right * (1 - right), 0.25 / n) / n);
    const double at = x(each.expected / n);
    pen.line({at, y(std::min(1.0, right + spread))}, {at, y(std::max(0.0, right - spread))}, kThin);
    pen.circle({at, y(right)}, 4, svg::filled(kBlack),
               fmt::format("{} suspects stated at {:.1f} %: {:.1f} % right", each.claims,
                           100 * each.expected / n, 100 * right));
  }
}

void draw_probes(svg::Pen& pen, const Findings& findings) {
  pen.words({kBarsLeft, 58}, "Probes from the first wrong reading on", kHead);
  const auto count = static_cast<double>(findings.probe_counts.size());
  const double most = std::max<double>(
      1, static_cast<double>(*std::max_element(findings.probe_counts.begin(), findings.probe_counts.end())));
  const double step = (kBarsRight - kBarsLeft) / count;
  const double top = kTop + 40;
  for (std::size_t i = 0; i < findings.probe_counts.size(); ++i) {
    const double high = (kBottom - top) * static_cast<double>(findings.probe_counts[i]) / most;
    const double left = kBarsLeft + step * static_cast<double>(i);
    const bool last = i + 1 == findings.probe_counts.size();
    if (high > 0)
      pen.box({left + 2, kBottom - high, step - 4, high}, 0, svg::outlined("url(#hatch)", kBlack, 1),
              fmt::format("{}{} probes: {} cases", i, last ? " or more" : "", findings.probe_counts[i]));
    pen.words({left + step / 2, kBottom + 20}, fmt::format("{}{}", i, last ? "+" : ""), kMiddle);
    if (findings.probe_counts[i] > 0)
      pen.words({left + step / 2, kBottom - high - 5}, std::to_string(findings.probe_counts[i]),
                "text-anchor=\"middle\" font-size=\"11\"");
  }
  pen.line({kBarsLeft, kBottom}, {kBarsRight, kBottom}, kThin);
  pen.words({(kBarsLeft + kBarsRight) / 2, kBottom + 42}, "probes (bars: cases)", kMiddle);
  if (findings.located == 0) return;
  const auto mark = [&](double probes, const char* name, double row) {
    const double at = std::min(kBarsLeft + step * (probes + 0.5), kBarsRight);
    pen.line({at, row + 4}, {at, kBottom}, kDotted);
    pen.words({at + 4, row + 10}, fmt::format("{} {:.1f}", name, probes), at > kBarsRight - 90 ? kEnd : "");
  };
  const double n = static_cast<double>(findings.located);
  mark(findings.probes / n, "mean", kTop - 4);
  mark(findings.in_order.probes / n, "in order", kTop + 8);
  mark(findings.halving.probes / n, "halving", kTop + 20);
}

}  // namespace

std::string as_svg(const Heading& heading, const Findings& findings) {
  const Box all{0, 0, kWidth, kHeight};
  svg::Pen pen;
  pen.open("defs", "");
  pen.open("pattern", "id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"");
  pen.path("M0 6L6 0", kThin);
  pen.close("pattern");
  pen.close("defs");
  pen.box(all, 0, svg::filled("white"));
  pen.words({kLeft, 28}, fmt::format("{}: {} simulated cases", heading.harness_name, findings.cases),
            "font-size=\"16\" font-weight=\"bold\"");
  draw_stated(pen, findings);
  draw_probes(pen, findings);
  const double n = std::max<double>(1, static_cast<double>(findings.located));
  const std::string told = fmt::format(
      "Left: suspects by stated probability against how often they were right; on the dotted line both are "
      "the same. Right: probes from the first wrong reading to the answer, {:.1f} on average; {:.1f} in "
      "order, {:.1f} by halving.",
      findings.probes / n, findings.in_order.probes / n, findings.halving.probes / n);
  return svg::framed({all, kWidth, kHeight, "", "A study of " + heading.harness_name, told,
                      "font-family=\"sans-serif\" font-size=\"13\""},
                     pen.take());
}

}  // namespace lugwise
