// How placement.cpp goes about it: parts that sit on others first, then rows, then how the rows lie to each other.
//
// What sits on what is found in placement_seat.cpp, rows are made in placement_row.cpp, and what lies by its measures is in
// placement_measure.cpp.
#pragma once

#include <initializer_list>
#include <optional>
#include <utility>
#include <vector>

#include "drawing/inside/cavity.h"
#include "drawing/inside/placement.h"
#include "drawing/inside/seat.h"
#include "drawing/inside/shape.h"

namespace lugwise::drawing::inside {

inline constexpr int kRowGap = 3;  // cells between rows
inline constexpr int kGap = 4;     // and between parts of a row

class Placer {
 public:
  // All must outlive it.
  Placer(const Harness& harness, const std::vector<std::vector<Shape>>& shapes, const Places& places,
         int room);

  // Only once.
  Placement place();

 private:
  using Row = std::vector<std::size_t>;

  // Rows, from the top.
  enum class Band { Pickups, Controls, Tones, Rest };

  // What lies by its measures, from its own upper left corner.
  struct Block {
    int width = 0, height = 0;
    std::vector<std::pair<std::size_t, Cell>> corners;
  };

  // A part with what sits on it.
  struct Cluster {
    int width = 0, height = 0;
    int above = 0;  // of its height, what stands over the part itself
    std::vector<std::pair<std::size_t, Cell>> members;
  };

  // A part that has measures.
  struct Lie {
    std::size_t part = 0;
    double x = 0, y = 0;   // millimetres
    int left = 0, up = 0;  // of its cluster, from its own middle; cells
    int right = 0, down = 0;
  };

  const Part& part(std::size_t index) const { return harness_[PartId{static_cast<std::uint32_t>(index)}]; }
  const PlacedPart& shape(std::size_t index) const { return shapes_[index][made_.variant[index]].part; }
  int gap() const { return kGap + room_; }
  int row_gap(const Row& row) const;
  bool given(std::size_t part) const { return places_.of(part).has_value(); }
  bool is_measured(std::size_t part) const {
    return given(part) && places_.of(part)->kind == Place::Kind::Measured;
  }

  void set_down(const Cluster& cluster, int x, int y);
  // Where it ends at the right, and how high it is.
  std::pair<int, int> lay_row(const Row& row, int x, int y);

  // Which way parts face. A switch shows its lugs to the pickups above and to the pots beside it, the bridge looks down to
  // the controls, and so does the first end of a resistor that stands for a pickup. A jack beside the pots has its sleeve
  // level with their cases and its tip with their lugs.
  void turn();
  // The first of these that there is.
  void face(std::size_t p, std::initializer_list<Stance> wanted);

  // ---- what sits on what
  void seat(std::size_t p, Seat on);
  void seat_on_shafts();
  void seat_all();
  Cluster cluster_of(std::size_t p) const;
  // How far a rider's top is below its part's.
  int lift_of(std::size_t p, std::size_t rider) const;

  // ---- rows
  // Tones lie in a row below the volumes where there are many pots, and on a scratchplate, where knobs lie aslant.
  bool two_decks() const;
  // Where each pickup has its volume, the switch follows these; and where a volume stands alone, so does a button.
  bool mixes() const { return has_.volumes > 1; }
  bool kills(std::size_t p) const { return has_.pots == 1 && part(p).points.size() == 2; }
  // Beside a single pot nothing but a switch stands: the jack is below it.
  Band band_of(std::size_t p) const;
  // Where in its row, from the left.
  int order_in_row(std::size_t p) const;
  // What lies above what has measures, and below it: rows of parts that have none.
  std::pair<std::vector<Row>, std::vector<Row>> rows_of() const;
  void split(const Row& row, std::vector<Row>& made) const;
  bool has(const Row& row, PartKind kind) const;
  bool aside(std::size_t p) const;
  int width_of(const Row& row) const;
  // Points whose wires leave a row downwards.
  int leads_of(const Row& row) const;

  // ---- measures
  std::vector<Lie> lies() const;
  // Cells to a millimetre: the least in which they lie apart.
  double scale_of(const std::vector<Lie>& lies) const;
  // Parts by their middles in that scale; what is closer than that goes further down.
  Block measured() const;

  // ---- how rows lie to each other
  // On a plate controls begin where the pickups do; in a cavity, and where they lie in two rows, rows have their middles
  // below each other, on a scratchplate aslant. That is without what stands at the end by itself: the bridge beside the
  // pickups, the jack at the side. A module and its battery lie toward the jack.
  int share_left(int width) const;
  std::vector<int> lefts_of(const std::vector<Row>& above, const Block& block,
                            const std::vector<Row>& below) const;

  const Harness& harness_;
  const std::vector<std::vector<Shape>>& shapes_;
  const Places& places_;
  int room_;
  Stock has_;
  Cavity cavity_;
  Placement made_;
  std::vector<std::optional<Seat>> seats_;
  std::vector<std::vector<std::size_t>> riders_;
};

}  // namespace lugwise::drawing::inside
