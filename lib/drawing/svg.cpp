#include "drawing/svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "text/safe.h"

namespace lugwise::svg {
namespace {

// What follows other attributes.
std::string behind(std::string_view more) { return more.empty() ? "" : " " + std::string(more); }

}  // namespace

std::string escaped(std::string_view text) { return lugwise::text::in_markup(text); }

std::string number(double value) {
  if (std::abs(value) < 0.005) return "0";
  std::string text = fmt::format("{:.2f}", value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string stroke(std::string_view colour, double width, std::string_view more) {
  return fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"{}", colour, number(width),
                     behind(more));
}

std::string filled(std::string_view colour, std::string_view more) {
  return fmt::format("fill=\"{}\"{}", colour, behind(more));
}

std::string outlined(std::string_view colour, std::string_view edge, double width, std::string_view more) {
  return fmt::format("fill=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{}", colour, edge, number(width),
                     behind(more));
}

void Pen::open(std::string_view name, std::string_view attributes) {
  text_ += fmt::format("<{}{}>\n", name, behind(attributes));
}

void Pen::close(std::string_view name) { text_ += fmt::format("</{}>\n", name); }

void Pen::title(std::string_view words) { text_ += fmt::format("<title>{}</title>\n", escaped(words)); }

void Pen::end(std::string_view name, std::string_view title) {
  text_ += title.empty() ? "/>\n" : fmt::format("><title>{}</title></{}>\n", escaped(title), name);
}

void Pen::line(Spot a, Spot b, std::string_view attributes) {
  text_ += fmt::format("<path d=\"M{} {}L{} {}\"{}/>\n", number(a.x), number(a.y), number(b.x), number(b.y),
                       behind(attributes));
}

void Pen::path(std::string_view way, std::string_view attributes) {
  text_ += fmt::format("<path d=\"{}\"{}/>\n", way, behind(attributes));
}

void Pen::circle(Spot at, double radius, std::string_view attributes, std::string_view title) {
  text_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}", number(at.x), number(at.y), number(radius),
                       behind(attributes));
  end("circle", title);
}

void Pen::box(const Box& box, double radius, std::string_view attributes, std::string_view title) {
  text_ +=
      fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\"{}", number(box.x),
                  number(box.y), number(box.width), number(box.height), number(radius), behind(attributes));
  end("rect", title);
}

void Pen::text(const Lettering& lettering, std::string_view attributes) {
  const char* anchor = lettering.from == Lettering::From::Start    ? "start"
                       : lettering.from == Lettering::From::Middle ? "middle"
                                                                   : "end";
  std::string turn;
  if (lettering.upright)
    turn = fmt::format(" transform=\"rotate(-90 {} {})\"", number(lettering.at.x), number(lettering.at.y));
  const double width = drawing::inside::text_width(lettering.text, lettering.size, lettering.bold);
  text_ += fmt::format(
      "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{} text-anchor=\"{}\" textLength=\"{}\" "
      "lengthAdjust=\"spacingAndGlyphs\"{}{}>",
      number(lettering.at.x), number(lettering.at.y), number(lettering.size),
      lettering.bold ? " font-weight=\"bold\"" : "", anchor, number(width), turn, behind(attributes));
  if (!lettering.full.empty()) text_ += fmt::format("<title>{}</title>", escaped(lettering.full));
  text_ += escaped(lettering.text) + "</text>\n";
}

void Pen::words(Spot at, std::string_view words, std::string_view attributes) {
  text_ += fmt::format("<text x=\"{}\" y=\"{}\"{}>{}</text>\n", number(at.x), number(at.y),
                       behind(attributes), escaped(words));
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

std::string framed(const Frame& frame, std::string_view content) {
  const std::string id = escaped(frame.id_prefix);
  const std::string labels = frame.description.empty() ? id + "title" : fmt::format("{0}title {0}desc", id);
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\" width=\"{}\" height=\"{}\" "
      "role=\"img\" aria-labelledby=\"{}\"{}>\n<title id=\"{}title\">{}</title>\n",
      number(frame.view.x), number(frame.view.y), number(frame.view.width), number(frame.view.height),
      number(frame.width), number(frame.height), labels, behind(frame.attributes), id, escaped(frame.title));
  if (!frame.description.empty())
    svg += fmt::format("<desc id=\"{}desc\">{}</desc>\n", id, escaped(frame.description));
  svg += content;
  return svg + "</svg>\n";
}

}  // namespace lugwise::svg
