#include <fmt/format.h>

#include <algorithm>

#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

const char* word_of(Alteration::Kind kind) {
  return kind == Alteration::Kind::Added ? "added" : kind == Alteration::Kind::Moved ? "moved" : "taken off";
}

}  // namespace

// A line beside what is there now; what was there before is dashed. A badge carries the number that the legend explains, so
// that nothing is told by colour alone.
void Picture::draw_changes() {
  if (look_.changes.empty()) return;
  pen_.open("g", "class=\"changes\"");
  for (std::size_t i = 0; i < look_.changes.size(); ++i) {
    const Alteration& change = look_.changes[i];
    pen_.open("g", fmt::format("class=\"change\" data-change=\"{}\"", word_of(change.kind)));
    std::vector<Spot> was;
    for (const Cell cell : change.was) was.push_back(at_cell(cell));
    if (!was.empty()) {
      pen_.path(way_through(was, 4), stroke(kWhite, 4.6));
      pen_.path(way_through(was, 4), stroke(kTakenOff, 2.2, "stroke-dasharray=\"5 4\""));
    }
    std::vector<Spot> at = was;
    if (change.strand && !ways_[*change.strand].empty()) {
      at = ways_[*change.strand];
      pen_.path(way_through(at, 4), stroke(kAdded, 11, "stroke-opacity=\"0.35\" stroke-linecap=\"round\""));
    }
    for (const PlacedPart& part : layout_.parts) {
      if (!change.part || part.part != *change.part) continue;
      const Box box{part.corner.x * kCell - 5, part.corner.y * kCell - 5, part.width * kCell + 10,
                    part.height * kCell + 10};
      pen_.box(box, 6, stroke(kAdded, 2.4, "stroke-dasharray=\"9 3\""));
      at = {{box.x, box.y}};
    }
    if (!at.empty()) {
      const Spot mid = half_way(at);
      const Spot spot = place_for_tag(mid, 16, 16);
      pen_.line(mid, spot, stroke(kInk, 1.2));
      draw_badge(spot, change.kind, std::to_string(i + 1));
      words_.push_back({spot.x - 8, spot.y - 8, 16, 16});
    }
    pen_.close("g");
  }
  pen_.close("g");
}

void Picture::draw_badge(Spot at, Alteration::Kind kind, const std::string& number_text) {
  const bool gone = kind == Alteration::Kind::TakenOff;
  const std::string_view ground = gone ? kWhite : kAdded, sign = gone ? kTakenOff : kWhite;
  pen_.box({at.x - 8, at.y - 8, 16, 16}, 3, outlined(ground, sign, 1.5));
  Lettering text;
  text.text = number_text;
  text.at = {at.x, at.y + 3.7};
  text.size = 10.5;
  text.bold = true;
  write(text, filled(sign, "class=\"change\""));
}

void Picture::explain_changes(Legend& legend) const {
  for (std::size_t i = 0; i < look_.changes.size(); ++i) {
    const Alteration& change = look_.changes[i];
    const bool gone = change.kind == Alteration::Kind::TakenOff;
    const std::string_view ground = gone ? kWhite : kAdded, sign = gone ? kTakenOff : kWhite;
    Pen swatch;
    swatch.box({5, -8, 16, 16}, 3, outlined(ground, sign, 1));
    swatch.words({13, 3.7}, std::to_string(i + 1),
                 filled(sign, "font-size=\"10.5\" font-weight=\"bold\" text-anchor=\"middle\""));
    legend.push_back({swatch.take(), fmt::format("{}: {}", word_of(change.kind), change.words)});
  }
}

}  // namespace lugwise::drawing::inside
