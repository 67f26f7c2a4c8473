#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kTitleSize = 16, kAboutSize = 11.5;

}  // namespace

std::string Picture::description() const {
  std::size_t wires = 0;
  for (const Wire& wire : harness_.wires()) wires += !wire.braid;
  std::string text = fmt::format("Wiring of {}: {} parts, {} wires, {} joints.", title_text(),
                                 harness_.parts().size(), wires, layout_.marks.size());
  if (look_.probes) {
    text += fmt::format(" Probe A, black, at {}. Probe B, red, at {}.",
                        point_in_words(harness_, look_.probes->first),
                        point_in_words(harness_, look_.probes->second));
  }
  for (std::size_t i = 0; i < look_.marked.size(); ++i)
    text += fmt::format(" Suspect {}: {}.", i + 1, in_words(harness_, look_.marked[i]));
  return text;
}

std::string Picture::whole(const Box& view, std::string_view content) const {
  const std::string font =
      fmt::format("font-family=\"Arial, Helvetica, 'Liberation Sans', sans-serif\" fill=\"{}\"", kInk);
  return svg::framed({view, view.width, view.height, look_.id_prefix, title_text(), description(), font},
                     content);
}

double Picture::write_head(Pen& page, double y, double width) const {
  const std::string head = shortened(title_text(), kTitleSize, width - 2 * kPad, true);
  Lettering title = line_of(head, {kPad, y}, kTitleSize);
  title.bold = true;
  if (head != title_text()) title.full = title_text();
  page.text(title);
  if (harness_.about.empty()) return y;
  for (const std::string& text : wrapped(harness_.about, kAboutSize, width - 2 * kPad, 3)) {
    y += 15;
    page.text(line_of(text, {kPad, y}, kAboutSize));
  }
  return y;
}

std::string Picture::framed() {
  const double width = std::max(kLeast, body_.width + 2 * kPad);
  const double shift = (width - body_.width) / 2;
  Pen page;
  double y = look_.within ? -8 : write_head(page, kPad + 14, width);
  y += 12;
  const double top = y;
  y += body_.height + (look_.within ? 4 : 14);
  if (!look_.within) page.line({kPad, y - 6}, {width - kPad, y - 6}, stroke(kRule, 1));
  y = write_legend(page, y + 10, width);
  extent_ = {width, y + 2};
  const Box all{0, 0, width, extent_.height};
  Pen sheet;
  sheet.box(all, 0, filled(kWhite));
  sheet.open("g", moved_by(shift - body_.x, top - body_.y));
  sheet.add(pen_.take());
  sheet.close("g");
  sheet.add(page.take());
  return whole(all, sheet.take());
}

std::string Picture::framed_small() {
  const double size = 11 * scale_, line = 15 * scale_;
  Box view = view_;
  Pen page;
  const double top = view.y + view.height;
  int lines = 0;
  const auto write = [&](const std::string& letter, std::string_view colour, const std::string& text) {
    const double y = top + line * (lines + 0.5) + 2 * scale_;
    page.circle({view.x + 10 * scale_, y}, 6.5 * scale_, filled(colour));
    Lettering mark;
    mark.text = letter;
    mark.at = {view.x + 10 * scale_, y + 3.3 * scale_};
    mark.size = 9 * scale_;
    mark.bold = true;
    page.text(mark, filled(kWhite));
    Lettering words;
    words.text = shortened(text, size, view.width - 26 * scale_);
    if (words.text != text) words.full = text;
    words.at = {view.x + 21 * scale_, y + 3.8 * scale_};
    words.size = size;
    words.from = Lettering::From::Start;
    page.text(words, "class=\"caption\"");
    ++lines;
  };
  if (look_.probes) {
    write("A", kProbeA, harness_[look_.probes->first].name);
    write("B", kProbeB, harness_[look_.probes->second].name);
  }
  for (std::size_t i = 0; i < look_.marked.size() && i < 3; ++i)
    write(std::to_string(i + 1), kSuspect, in_words(harness_, look_.marked[i]));
  view.height += lines * line + (lines > 0 ? 4 * scale_ : 0);
  extent_ = {view.width, view.height};
  const std::string clip = escaped(look_.id_prefix) + "clip";
  Pen sheet;
  sheet.box(view, 0, filled(kWhite));
  sheet.open("clipPath", fmt::format("id=\"{}\"", clip));
  sheet.box({view.x, view.y, view_.width, view_.height}, 0, "");
  sheet.close("clipPath");
  sheet.open("g", fmt::format("clip-path=\"url(#{})\"", clip));
  sheet.add(pen_.take());
  sheet.close("g");
  sheet.add(page.take());
  return whole(view, sheet.take());
}

std::string Picture::nothing() const {
  Lettering lettering;
  lettering.text = "Too large to be drawn.";
  lettering.at = {kPad, 35};
  lettering.from = Lettering::From::Start;
  Pen page;
  page.text(lettering);
  return whole({0, 0, kLeast, 60}, page.take());
}

}  // namespace lugwise::drawing::inside
