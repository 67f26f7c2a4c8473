// What the parts of every kind are drawn with, and a class for each kind in a file of its own.
#pragma once

#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drawing/inside/shape.h"

namespace lugwise::drawing::inside {

inline constexpr double kNameSize = 12;
inline constexpr double kLugSize = 10.5;
inline constexpr double kValueSize = 10.5;
inline constexpr double kInsideSize = 9.5;
inline constexpr int kRoom = 3;           // wires a lug takes before it grows
inline constexpr int kOuterRoom = 5;      // the same of a pot's lugs
inline constexpr double kMostName = 130;  // units; longer names are shortened
inline constexpr double kMostLabel = 80;

inline double units(double cells) { return cells * kCell; }
inline int cells(double width) { return static_cast<int>(std::ceil(width / kCell)); }

// Draws one shape after another, each begun by `start`. Where not said, numbers are cells from the part's upper left corner.
class Draughtsman {
 public:
  Draughtsman(const Harness& harness, const Hookup& hookup, PartId id)
      : harness_(harness), hookup_(hookup), id_(id), part_(harness[id]) {}

 protected:
  // "hot" of "front.hot".
  std::string own_name(PointId point) const;
  int sites(PointId point) const { return hookup_.sites_at(point); }
  // Room for what is joined at a point, with some to spare: a wire more changes nothing.
  int room(PointId point) const;
  std::optional<ElementId> element_of(ElementKind kind, PointId a, PointId b) const;

  void start(int width, int height);
  // `most` and `size` in units.
  void letter(std::string_view text, double x, double y, double size, Lettering::From from, bool bold = false,
              double most = kMostLabel);
  void line(PointId of, std::vector<Spot> path);
  void feature(Feature::Kind kind, std::optional<ElementId> element, std::vector<Spot> path);
  void outline(double x, double y, double right, double bottom);
  void place_line(double x, double y, Lettering::From from);
  // A terminal with its sites side by side from a cell on, all leaving to one side.
  void terminal(PointId point, Spot at, Cell first, int count, Side out, int anchor = 0);
  void free(int x, int y, bool is_free);

  const Harness& harness_;
  const Hookup& hookup_;
  PartId id_;
  const Part& part_;
  Shape made_;
};

std::vector<Shape> pot_shapes(const Harness& harness, const Hookup& hookup, PartId part);
std::vector<Shape> pickup_shapes(const Harness& harness, const Hookup& hookup, PartId part);
std::vector<Shape> metal_shapes(const Harness& harness, const Hookup& hookup, PartId part);
// Resistors, capacitors, inductors, batteries.
std::vector<Shape> two_ended_shapes(const Harness& harness, const Hookup& hookup, PartId part);
// Switches, jacks, modules.
std::vector<Shape> box_shapes(const Harness& harness, const Hookup& hookup, PartId part);

// The same seen in a mirror at its side, or below it; words stay to be read.
Shape mirrored(Shape shape);
Shape upside_down(Shape shape);

}  // namespace lugwise::drawing::inside
