#include <algorithm>

#include "drawing/inside/draughtsman.h"

namespace lugwise::drawing::inside {

Shape mirrored(Shape shape) {
  PlacedPart& part = shape.part;
  const double width = units(part.width);
  const auto flip = [&](Spot& at) { at.x = width - at.x; };
  for (Terminal& terminal : part.terminals) {
    flip(terminal.at);
    for (Foot& site : terminal.sites) {
      site.at.x = part.width - site.at.x;
      if (site.out == Side::Left || site.out == Side::Right)
        site.out = site.out == Side::Left ? Side::Right : Side::Left;
    }
  }
  for (Feature& feature : part.features) {
    for (Spot& spot : feature.path) flip(spot);
  }
  const auto flip_text = [&](Lettering& lettering) {
    flip(lettering.at);
    if (lettering.from != Lettering::From::Middle)
      lettering.from =
          lettering.from == Lettering::From::Start ? Lettering::From::End : Lettering::From::Start;
  };
  for (Lettering& lettering : part.lettering) flip_text(lettering);
  if (part.place) flip_text(*part.place);
  for (Box& box : part.outline) box.x = width - box.x - box.width;
  for (int y = 0; y <= part.height; ++y) {
    const auto row = shape.blocked.begin() + y * (part.width + 1);
    std::reverse(row, row + part.width + 1);
  }
  return shape;
}

Shape upside_down(Shape shape) {
  PlacedPart& part = shape.part;
  const double height = units(part.height);
  for (Terminal& terminal : part.terminals) {
    terminal.at.y = height - terminal.at.y;
    for (Foot& site : terminal.sites) {
      site.at.y = part.height - site.at.y;
      site.out = site.out == Side::Up ? Side::Down : Side::Up;
    }
  }
  for (Feature& feature : part.features) {
    for (Spot& spot : feature.path) spot.y = height - spot.y;
  }
  for (Lettering& lettering : part.lettering) lettering.at.y = height - lettering.at.y + 0.7 * lettering.size;
  for (Box& box : part.outline) box.y = height - box.y - box.height;
  std::vector<char> blocked;
  for (int y = part.height; y >= 0; --y) {
    const auto row = shape.blocked.begin() + y * (part.width + 1);
    blocked.insert(blocked.end(), row, row + part.width + 1);
  }
  shape.blocked = std::move(blocked);
  shape.stance = Stance::UpsideDown;
  return shape;
}

}  // namespace lugwise::drawing::inside
