// Where everything of a harness lies on its picture. Computed once for a harness, and the same on every machine.
//
// Places are in cells of the layout's grid (10 units of the picture) where they are whole numbers, else in units. x runs to
// the right, y down.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "harness/harness.h"

namespace lugwise {

// Units of the picture in one cell of the grid that wires run on.
inline constexpr double kCell = 10;

enum class Side { Up, Right, Down, Left };

struct Cell {
  int x = 0, y = 0;
  friend bool operator==(const Cell&, const Cell&) = default;
};

struct Spot {
  double x = 0, y = 0;
};

// A rectangle in units, from its upper left corner.
struct Box {
  double x = 0, y = 0, width = 0, height = 0;
  // Whether two have more than an edge in common.
  bool meets(const Box& other) const {
    return x < other.x + other.width && other.x < x + width && y < other.y + other.height &&
           other.y < y + height;
  }
};

// A piece of text, its baseline starting, ending or centred at a spot.
struct Lettering {
  enum class From { Start, Middle, End };
  std::string text;  // shortened where it had to be
  std::string full;  // what it stands for, where it was shortened
  Spot at;
  double size = 11;  // of the font, units
  From from = From::Middle;
  bool bold = false;
  bool upright = false;  // reads upwards, turned by a quarter
};

// Where a wire or lead can end on a part, and the side it leaves to.
struct Foot {
  Cell at;
  Side out = Side::Down;
};

// A point of a part: its metal, and the places on it.
struct Terminal {
  PointId point;
  Spot at;  // the middle of its metal: where a probe's tip goes
  std::vector<Foot>
      sites;  // in order along its edge; one at least but for plugs and what is buried; of a lug only those in use
  bool ring = false;       // a case: its sites go around it
  std::size_t anchor = 0;  // of a lug: the site that is used first, the others spread from there
};

// What conducts inside a part, or is drawn inside it.
struct Feature {
  enum class Kind { Line, Coil, Track, Wiper, Contact, Joint, Resistor, Capacitor, Cell, Butt };
  Kind kind = Kind::Line;
  std::optional<ElementId> element;
  std::optional<PointId> point;  // Line: what it belongs to
  std::vector<Spot>
      path;  // Contact: from the bar to the lug it meets; Wiper: lug 2, the track's end at 1, at 3
};

// One part, placed. Its features, lettering and terminals are in the picture's own coordinates.
struct PlacedPart {
  PartId part;
  Cell corner;
  int width = 0, height = 0;  // cells
  std::vector<Terminal> terminals;
  std::vector<Feature> features;
  std::vector<Lettering> lettering;
  std::optional<Lettering> place;  // where a control's place is written once a setting is given
  std::vector<Box> outline;        // what it covers; a pot's case is round, in the first of them
  bool round = false;              // the first box of the outline is a circle
  std::optional<Box> screen;       // a pickup's shield, dashed
};

// A run on the grid: one leg of a wire, a part's own lead, or a touch of two surfaces.
struct Strand {
  enum class Kind { Leg, Lead, Touch };
  Kind kind = Kind::Leg;
  std::optional<ElementId> element;  // the leg, or the touch's contact
  std::optional<WireId> wire;        // of a leg
  PointId from, to;                  // wire ends, or points of parts
  std::vector<Cell> path;            // its corners; empty where it found no way: it is drawn as two stubs
  Foot start, end;                   // where it ends on parts
  bool free_start = false, free_end = false;  // this end is joined to nothing
  bool bent = false;                          // a pot's own lug, bent up to its case
};

// One joint, pressed contact or touch, where it is made.
struct Mark {
  enum class Kind { Solder, Pressed, Touch };
  Kind kind = Kind::Solder;
  ElementId element;
  PointId surface;
  PointId lead;
  Spot at;
};

// The solder that holds several leads.
struct Pool {
  ElementId grip;
  std::vector<Spot> spots;
};

struct Layout {
  int width = 0, height = 0;  // cells
  std::vector<PlacedPart> parts;
  std::vector<Strand> strands;
  std::vector<Mark> marks;
  std::vector<Pool> pools;
  int crossings = 0;  // of strands
  int stubs = 0;      // strands without a way

  // Where a probe's tip goes; none for a point that isn't drawn (the inside of a blob).
  std::optional<Spot> spot(const Harness&, PointId) const;
};

}  // namespace lugwise
