#include "drawing/inside/draughtsman.h"

#include <algorithm>
#include <utility>

#include "drawing/inside/lettering.h"

namespace lugwise::drawing::inside {

std::string Draughtsman::own_name(PointId point) const {
  const std::string& name = harness_[point].name;
  return name.substr(name.find('.') + 1);
}

int Draughtsman::room(PointId point) const { return std::max(kRoom, sites(point)); }

void Draughtsman::start(int width, int height) {
  made_ = {};
  made_.part.part = id_;
  made_.part.width = width;
  made_.part.height = height;
  made_.blocked.assign(static_cast<std::size_t>((width + 1) * (height + 1)), 1);
}

void Draughtsman::letter(std::string_view text, double x, double y, double size, Lettering::From from,
                         bool bold, double most) {
  Lettering lettering;
  lettering.text = shortened(text, size, most, bold);
  if (lettering.text != text) lettering.full = text;
  lettering.at = {units(x), units(y)};
  lettering.size = size;
  lettering.from = from;
  lettering.bold = bold;
  made_.part.lettering.push_back(std::move(lettering));
}

void Draughtsman::line(PointId of, std::vector<Spot> path) {
  feature(Feature::Kind::Line, std::nullopt, std::move(path));
  made_.part.features.back().point = of;
}

void Draughtsman::feature(Feature::Kind kind, std::optional<ElementId> element, std::vector<Spot> path) {
  for (Spot& spot : path) spot = {units(spot.x), units(spot.y)};
  made_.part.features.push_back({kind, element, std::nullopt, std::move(path)});
}

void Draughtsman::outline(double x, double y, double right, double bottom) {
  made_.part.outline.push_back({units(x), units(y), units(right - x), units(bottom - y)});
}

void Draughtsman::place_line(double x, double y, Lettering::From from) {
  made_.part.place = Lettering{"", "", {units(x), units(y)}, 11, from, true, false};
}

void Draughtsman::terminal(PointId point, Spot at, Cell first, int count, Side out, int anchor) {
  Terminal made{point, {units(at.x), units(at.y)}, {}, false, static_cast<std::size_t>(anchor)};
  const bool across = out == Side::Up || out == Side::Down;
  for (int i = 0; i < count; ++i)
    made.sites.push_back({{first.x + (across ? i : 0), first.y + (across ? 0 : i)}, out});
  made_.part.terminals.push_back(std::move(made));
}

std::optional<ElementId> Draughtsman::element_of(ElementKind kind, PointId a, PointId b) const {
  for (std::uint32_t i = 0; i < harness_.elements().size(); ++i) {
    const Element& element = harness_.elements()[i];
    if (element.kind == kind && element.part == id_ &&
        ((element.a == a && element.b == b) || (element.a == b && element.b == a)))
      return ElementId{i};
  }
  return std::nullopt;
}

void Draughtsman::free(int x, int y, bool is_free) {
  made_.blocked[static_cast<std::size_t>(y * (made_.part.width + 1) + x)] = is_free ? 0 : 1;
}

}  // namespace lugwise::drawing::inside
