#include "drawing/inside/shape.h"

#include "drawing/inside/draughtsman.h"

namespace lugwise::drawing::inside {

std::vector<Shape> shapes_of(const Harness& harness, const Hookup& hookup, PartId part) {
  switch (harness[part].kind) {
    case PartKind::Pot:
      return pot_shapes(harness, hookup, part);
    case PartKind::Pickup:
      return pickup_shapes(harness, hookup, part);
    case PartKind::Metal:
      return metal_shapes(harness, hookup, part);
    case PartKind::Switch:
    case PartKind::Jack:
    case PartKind::Module:
      return box_shapes(harness, hookup, part);
    default:
      return two_ended_shapes(harness, hookup, part);
  }
}

PlacedPart moved(PlacedPart part, Cell by) {
  const double dx = units(by.x), dy = units(by.y);
  const auto move = [&](Spot& at) {
    at.x += dx;
    at.y += dy;
  };
  part.corner.x += by.x;
  part.corner.y += by.y;
  for (Terminal& terminal : part.terminals) {
    move(terminal.at);
    for (Foot& site : terminal.sites) {
      site.at.x += by.x;
      site.at.y += by.y;
    }
  }
  for (Feature& feature : part.features) {
    for (Spot& spot : feature.path) move(spot);
  }
  for (Lettering& lettering : part.lettering) move(lettering.at);
  if (part.place) move(part.place->at);
  const auto move_box = [&](Box& box) {
    box.x += dx;
    box.y += dy;
  };
  for (Box& box : part.outline) move_box(box);
  if (part.screen) move_box(*part.screen);
  return part;
}

}  // namespace lugwise::drawing::inside