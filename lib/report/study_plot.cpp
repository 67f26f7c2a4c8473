#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/study.h"
#include "text/safe.h"

namespace lugwise {
namespace {

constexpr double kWidth = 860, kHeight = 440;
constexpr double kTop = 84, kBottom = 370;
constexpr double kLeft = 70, kRight = 400;           // of the left panel
constexpr double kBarsLeft = 500, kBarsRight = 830;  // of the right one

class Drawing {
 public:
  void line(double x1, double y1, double x2, double y2, const char* look) {
    body_ += fmt::format("  <line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" {}/>\n", x1, y1, x2,
                         y2, look);
  }
  void text(double x, double y, const std::string& words, const char* look = "") {
    body_ +=
        fmt::format("  <text x=\"{:.1f}\" y=\"{:.1f}\" {}>{}</text>\n", x, y, look, text::in_markup(words));
  }
  void raw(const std::string& element) { body_ += "  " + element + "\n"; }

  std::string take(const std::string& title, const std::string& desc) const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:g} {1:g}\" width=\"{0:g}\" "
        "height=\"{1:g}\" "
        "role=\"img\" aria-labelledby=\"title desc\" font-family=\"sans-serif\" font-size=\"13\">\n"
        "  <title id=\"title\">{2}</title>\n  <desc id=\"desc\">{3}</desc>\n"
        "  <defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">"
        "<path d=\"M0 6 L6 0\" stroke=\"black\" stroke-width=\"1\"/></pattern></defs>\n"
        "  <rect width=\"{0:g}\" height=\"{1:g}\" fill=\"white\"/>\n{4}</svg>\n",
        kWidth, kHeight, text::in_markup(title), text::in_markup(desc), body_);
  }

 private:
  std::string body_;
};

constexpr const char* kThin = "stroke=\"black\" stroke-width=\"1\"";
constexpr const char* kDotted = "stroke=\"black\" stroke-width=\"1\" stroke-dasharray=\"2 4\"";
constexpr const char* kMiddle = "text-anchor=\"middle\"";
constexpr const char* kEnd = "text-anchor=\"end\"";
constexpr const char* kHead = "font-weight=\"bold\"";

// Stated against right: on the slanted line a probability means what it says.
void draw_stated(Drawing& drawing, const Findings& findings) {
  const auto x = [](double share) { return kLeft + share * (kRight - kLeft); };
  const auto y = [](double share) { return kBottom - share * (kBottom - kTop); };
  drawing.text(kLeft, 58, "Stated probability, and how often right", kHead);
  for (int tenth = 0; tenth <= 10; tenth += 2) {
    const double share = tenth / 10.0;
    drawing.line(x(share), kBottom, x(share), kBottom + 5, kThin);
    drawing.text(x(share), kBottom + 20, fmt::format("{} %", tenth * 10), kMiddle);
    drawing.line(kLeft - 5, y(share), kLeft, y(share), kThin);
    drawing.text(kLeft - 9, y(share) + 4, fmt::format("{} %", tenth * 10), kEnd);
  }
  drawing.line(kLeft, kBottom, kRight, kBottom, kThin);
  drawing.line(kLeft, kTop, kLeft, kBottom, kThin);
  drawing.line(x(0), y(0), x(1), y(1), kDotted);
  drawing.text((kLeft + kRight) / 2, kBottom + 42, "stated of a suspect", kMiddle);
  for (const Stated& each : findings.stated) {
    if (each.claims == 0) continue;
    const double n = static_cast<double>(each.claims);
    const double right = static_cast<double>(each.right) / n;
    // Two standard errors either way, as for any share of n.
    const double spread = 2 * std::sqrt(std::max(right * (1 - right), 0.25 / n) / n);
    const double at = x(each.expected / n);
    drawing.line(at, y(std::min(1.0, right + spread)), at, y(std::max(0.0, right - spread)), kThin);
    drawing.raw(fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4\" fill=\"black\"><title>{}</title></circle>", at, y(right),
        fmt::format("{} suspects stated at {:.1f} %: {:.1f} % right", each.claims, 100 * each.expected / n,
                    100 * right)));
  }
}

void draw_probes(Drawing& drawing, const Findings& findings) {
  drawing.text(kBarsLeft, 58, "Probes from the first wrong reading on", kHead);
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
      drawing.raw(fmt::format(
          "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"url(#hatch)\" "
          "stroke=\"black\"><title>{}</title></rect>",
          left + 2, kBottom - high, step - 4, high,
          fmt::format("{}{} probes: {} cases", i, last ? " or more" : "", findings.probe_counts[i])));
    drawing.text(left + step / 2, kBottom + 20, fmt::format("{}{}", i, last ? "+" : ""), kMiddle);
    if (findings.probe_counts[i] > 0)
      drawing.text(left + step / 2, kBottom - high - 5, std::to_string(findings.probe_counts[i]),
                   "text-anchor=\"middle\" font-size=\"11\"");
  }
  drawing.line(kBarsLeft, kBottom, kBarsRight, kBottom, kThin);
  drawing.text((kBarsLeft + kBarsRight) / 2, kBottom + 42, "probes (bars: cases)", kMiddle);
  if (findings.located == 0) return;
  const auto mark = [&](double probes, const char* name, double row) {
    const double at = std::min(kBarsLeft + step * (probes + 0.5), kBarsRight);
    drawing.line(at, row + 4, at, kBottom, kDotted);
    drawing.text(at + 4, row + 10, fmt::format("{} {:.1f}", name, probes), at > kBarsRight - 90 ? kEnd : "");
  };
  const double n = static_cast<double>(findings.located);
  mark(findings.probes / n, "mean", kTop - 4);
  mark(findings.in_order.probes / n, "in order", kTop + 8);
  mark(findings.halving.probes / n, "halving", kTop + 20);
}

}  // namespace

std::string as_svg(const Heading& heading, const Findings& findings) {
  Drawing drawing;
  drawing.text(kLeft, 28, fmt::format("{}: {} simulated cases", heading.harness_name, findings.cases),
               "font-size=\"16\" font-weight=\"bold\"");
  draw_stated(drawing, findings);
  draw_probes(drawing, findings);
  const double n = std::max<double>(1, static_cast<double>(findings.located));
  return drawing.take(
      fmt::format("A study of {}", heading.harness_name),
      fmt::format(
          "Left: suspects by stated probability against how often they were right; on the dotted line both "
          "are "
          "the same. Right: probes from the first wrong reading to the answer, {:.1f} on average; {:.1f} in "
          "order, {:.1f} by halving.",
          findings.probes / n, findings.in_order.probes / n, findings.halving.probes / n));
}

}  // namespace lugwise
