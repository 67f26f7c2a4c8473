// How switches, jacks and modules are drawn: a box with lugs around it, and bars inside for the contacts between them.
//
// Bars are made in contact_bar.cpp, the box that stands in box_shape.cpp, the one that lies in lying_shape.cpp.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "drawing/inside/draughtsman.h"

namespace lugwise::drawing::inside {

class BoxDraughtsman : Draughtsman {
 public:
  using Draughtsman::Draughtsman;

  std::vector<Shape> draw();

 private:
  using Points = std::vector<PointId>;

  // Where a lug is: how far down and on which side; of a box that lies, how far to the right, and `left` is above.
  struct Row {
    double y = 0;
    bool left = true;
  };
  using Rows = std::map<PointId, Row>;

  // Contacts that share a lug, drawn as a bar from it that the others meet.
  struct Bar {
    PointId centre;
    std::vector<std::pair<ElementId, PointId>> leaves;
    double top = 0, low = 0;
    bool left = true;
    int lane = 0;
  };

  // Lugs at both sides, one below the other.
  struct Stack {
    Rows rows;
    std::map<PointId, int> first;  // site
    int last = 0;                  // row
    double label_left = 0, label_right = 0;
  };

  // ---- contacts and bars
  std::vector<ElementId> contacts() const;
  // Of a lug: how many contacts meet it.
  std::size_t degree(PointId point) const;
  std::size_t most_degree(const Points& points) const;
  bool meets_any(PointId point, const Points& others) const;
  // The lugs by pole, each pole's in file order; lugs that no contact meets last.
  std::vector<Points> poles() const;
  std::vector<Bar> bars_of(Rows& rows) const;
  // Bars that would meet lie one behind the other. How many lanes that takes, on either side.
  static std::pair<int, int> give_lanes(std::vector<Bar>& bars);

  // ---- boxes
  std::string mounted_on() const;
  double longest_place() const;
  Stack stacked(const Points& left, const Points& right, int first_row) const;
  // A plug's points stand level with the contacts that meet them.
  void align_plugs(const Points& left, const Points& right, Stack& stack) const;
  void write_names(double middle, const std::string& on);
  void draw_plugs(const Points& plugs, const Stack& stack, int edge, double inner);
  void draw_lugs(const Points& lugs, const Stack& stack, int edge, Side out);
  void draw_bars(const std::vector<Bar>& bars, Rows& rows, double inner_left, double inner_right);
  Shape box(const Points& left, const Points& right);

  // Lugs above and below, as where pickups come from one side and pots lie at the other.
  void draw_lying_bars(const std::vector<Bar>& bars, Rows& rows, double inner_above, double inner_below);
  Shape lying(const Points& above, const Points& below);
};

}  // namespace lugwise::drawing::inside
