#include "drawing/inside/pen.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "text/safe.h"

namespace lugwise::drawing::inside {

std::string escaped(std::string_view text) { return lugwise::text::in_markup(text); }

std::string number(double value) {
  if (std::abs(value) < 0.005) return "0";
  std::string text = fmt::format("{:.2f}", value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

void Pen::line(Spot a, Spot b, std::string_view attributes) {
  text_ += fmt::format("<path d=\"M{} {}L{} {}\" {}/>\n", number(a.x), number(a.y), number(b.x), number(b.y),
                       attributes);
}

void Pen::path(const std::string& way, std::string_view attributes) {
  text_ += fmt::format("<path d=\"{}\" {}/>\n", way, attributes);
}

void Pen::circle(Spot at, double radius, std::string_view attributes) {
  text_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>\n", number(at.x), number(at.y),
                       number(radius), attributes);
}

void Pen::box(const Box& box, double radius, std::string_view attributes) {
  text_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\" {}/>\n", number(box.x),
                       number(box.y), number(box.width), number(box.height), number(radius), attributes);
}

void Pen::text(const Lettering& lettering, std::string_view attributes) {
  const char* anchor = lettering.from == Lettering::From::Start    ? "start"
                       : lettering.from == Lettering::From::Middle ? "middle"
                                                                   : "end";
  std::string turn;
  if (lettering.upright)
    turn = fmt::format(" transform=\"rotate(-90 {} {})\"", number(lettering.at.x), number(lettering.at.y));
  text_ += fmt::format(
      "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{} text-anchor=\"{}\" textLength=\"{}\" "
      "lengthAdjust=\"spacingAndGlyphs\"{}{}{}>",
      number(lettering.at.x), number(lettering.at.y), number(lettering.size),
      lettering.bold ? " font-weight=\"bold\"" : "", anchor,
      number(text_width(lettering.text, lettering.size, lettering.bold)), turn, attributes.empty() ? "" : " ",
      attributes);
  if (!lettering.full.empty()) text_ += fmt::format("<title>{}</title>", escaped(lettering.full));
  text_ += escaped(lettering.text) + "</text>\n";
}

std::string way_through(const std::vector<Spot>& spots, double radius) {
  std::string way;
  for (std::size_t i = 0; i < spots.size(); ++i) {
    const Spot at = spots[i];
    if (i == 0) {
      way += fmt::format("M{} {}", number(at.x), number(at.y));
      continue;
    }
    if (i + 1 == spots.size() || radius == 0) {
      way += fmt::format("L{} {}", number(at.x), number(at.y));
      continue;
    }
    const Spot before = spots[i - 1], after = spots[i + 1];
    const double in = std::hypot(at.x - before.x, at.y - before.y);
    const double out = std::hypot(after.x - at.x, after.y - at.y);
    const double r = std::min({radius, in / 2, out / 2});
    if (r < 0.01) {
      way += fmt::format("L{} {}", number(at.x), number(at.y));
      continue;
    }
    const Spot from{at.x + (before.x - at.x) * r / in, at.y + (before.y - at.y) * r / in};
    const Spot to{at.x + (after.x - at.x) * r / out, at.y + (after.y - at.y) * r / out};
    way += fmt::format("L{} {}Q{} {} {} {}", number(from.x), number(from.y), number(at.x), number(at.y),
                       number(to.x), number(to.y));
  }
  return way;
}

}  // namespace lugwise::drawing::inside
