// Draws one picture: what lies under the wires first, then parts, wires, joints, names, and on top suspects and probes.
//
// Each step is in a file of its own: picture_wire.cpp, picture_part.cpp, picture_name.cpp, picture_probe.cpp, picture_tag.cpp, picture_change.cpp; what a
// small picture shows of all that in picture_small.cpp, the legend in picture_legend.cpp, the page around it in picture_page.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "drawing/drawing.h"
#include "drawing/inside/geometry.h"
#include "drawing/inside/label.h"
#include "drawing/inside/live.h"
#include "drawing/inside/palette.h"
#include "drawing/layout.h"
#include "drawing/svg.h"

namespace lugwise::drawing::inside {

using svg::escaped;
using svg::filled;
using svg::number;
using svg::outlined;
using svg::Pen;
using svg::stroke;
using svg::way_through;

inline constexpr double kLeast = 330;  // units: the narrowest page
inline constexpr double kPad = 14;     // around everything
inline constexpr const char* kGroundDashes = "stroke-dasharray=\"2.5 2.5\"";

// The attribute of what is moved to there.
std::string moved_by(double x, double y);

// A line of words that begins there.
Lettering line_of(const std::string& text, Spot at, double size);

// What is drawn of a layout, without the page around it.
Box body_of(const Layout& layout, const Look& look);

struct LegendEntry {
  std::string swatch;  // drawn in a box 26 wide and 12 high, its middle at 13, 0
  std::string text;
};

// How a wire is drawn, or what belongs to a part: a pickup's lead, the lug of a pot, the pin of a resistor.
struct Covering {
  enum class Kind { Coloured, Uncoloured, Bare, Braid, Lug, Pin };
  Kind kind = Kind::Uncoloured;
  Paint paint = paint_of("");  // where it has a colour, or could have one
};

// Along a way, as the legend shows it too. `clear` are the stretches around which what it crosses is interrupted.
void draw_covering(Pen& pen, std::string_view way, const Covering& covering, std::string_view clear = {},
                   std::string_view more = {});

class Picture {
 public:
  Picture(const Harness& harness, const Layout& layout, const Look& look);
  std::string draw();
  Extent extent();

 private:
  // ---- what is where
  bool is_missing(PartId part) const;
  bool is_missing(PointId point) const;
  // A lead of a missing part is away with it.
  bool is_missing(const Strand& strand) const;
  bool on_trail(std::optional<ElementId> element) const { return element && trail_[element->index]; }
  bool on_trail(PointId point) const { return !path_.points.empty() && path_.points[point.index]; }
  // The corners of a strand; of one without a way, nothing.
  std::vector<Spot> way_of(const Strand& strand) const;
  std::string wire_name(WireId id) const;
  // A wire without a name is called by its place in the netlist's list, where braids don't count.
  std::size_t place_in_list(WireId id) const;
  std::string strand_title(const Strand& strand) const;

  // ---- under everything
  void draw_trail();
  // A part's own lead has no resistance of its own: it carries what its joint carries.
  bool lead_on_trail(const Strand& strand) const;
  Live live_of(const Strand& strand) const;
  bool is_idle(PartId part) const;
  void draw_live();

  // ---- parts
  void draw_part(const PlacedPart& placed);
  static std::string_view kind_name(PartKind kind);
  std::string part_title(const Part& part) const;
  void draw_body(const PlacedPart& placed, const Part& part, bool away);
  // The metal of a terminal, as wide as what is joined there.
  void draw_terminal(const PlacedPart& placed, const Terminal& terminal);
  // An unseen circle around each point of a part, over all else, to be pointed at or tapped: as wide as leaves its
  // neighbours theirs.
  void draw_targets();
  bool is_free_end(const Foot& foot) const;
  // A pickup's lead that is joined to nothing.
  bool is_unattached(const PlacedPart& placed, const Terminal& terminal) const;
  bool closed(const Element& contact, const Part& part) const;
  void draw_feature(const Part& part, const Feature& feature);
  // Half circles along a line, as IEC 60617 draws a winding.
  void draw_coil(const std::vector<Spot>& path, const std::string& of);
  // The wiper's arrow on the track: where its taper puts it, or in the middle where nothing says.
  void draw_wiper(const Part& part, const std::vector<Spot>& path, const std::string& of, bool on);
  void draw_contact(const Part& part, const Feature& feature, const std::string& of);
  // IEC 60617: a box for a resistor, two plates for a capacitor, a long and a short line for a cell.
  void draw_symbol(const Feature& feature, const std::string& of);
  void write_place(const PlacedPart& placed, const Part& part);

  // ---- wires
  void draw_strand(std::size_t index);
  void draw_bent_lug(const std::vector<Spot>& spots);
  // Two short ends that carry one number: it goes on over there.
  void draw_stubs(const Strand& strand, std::size_t index);
  Covering covering_of(const Strand& strand) const;
  // `clear` are the stretches around which what it crosses is interrupted.
  void draw_wire(const Strand& strand, const std::string& way, const std::string& clear);
  // A bit of the strand around each place where it crosses one drawn before it, as one path.
  std::string crossings_of(std::size_t index) const;
  // Long ways to ground, where symbols are to stand for them.
  void find_grounded();
  void draw_grounded(const Strand& strand);
  void draw_joints();

  // ---- words
  // All that is written in the harness goes through this, so that a probe can keep off it.
  void write(const Lettering& lettering, const std::string& attributes = {});
  void gather_obstacles();
  struct WireLabel {
    std::string text;
    std::vector<std::size_t> strands;  // of its wire
  };
  std::string label_of(const Wire& wire) const;
  // Of wires that are seen, the longest text first; what the others are called is kept for the legend.
  std::vector<WireLabel> wire_labels();
  void write_labels();
  void write_label(const Lettering& label);
  // A number on the wire, or beside it, for a name that has no room there; the legend says it.
  void write_number(const WireLabel& label);
  // What is live says so in words too, wherever there is room.
  void write_live();

  // ---- suspects and probes
  std::optional<Spot> spot_of(const Fault& fault) const;
  void draw_suspects();
  void draw_probes();
  struct ProbeSize {
    double needle, grip;  // lengths
    double half;          // of the grip's width
    double round;         // radius of its end, which carries the letter
  };
  // What a probe would cover that comes to its tip along there: 1 for each square unit of anything but words.
  double price_of_probe(const ProbeSize& size, Spot tip, Spot along) const;
  // The side from which it covers least.
  Spot way_of_probe(const ProbeSize& size, Spot tip) const;
  // A needle, its grip and the letter.
  void draw_probe(Spot tip, std::string_view letter, std::string_view colour, PointId point);

  // ---- tags
  void draw_tags();
  // Where a tag of that size lies on least, near its point; its middle.
  Spot place_for_tag(Spot point, double width, double height) const;

  // ---- changes
  void draw_changes();
  void draw_badge(Spot at, Alteration::Kind kind, const std::string& number_text);

  // ---- the small picture
  std::optional<PartId> part_at(PointId point) const;
  bool is_near(PartId part) const;
  // Whole, so that no word is cut.
  bool in_view(const PlacedPart& placed) const;
  const std::vector<PartId>& path_parts() const;
  bool strand_near(const Strand& strand) const;
  // The parts that the probes are at, with some air, but no smaller than what stays a picture of the place.
  void choose_view();
  // The part's name as large as its room allows, and its lugs.
  void write_small(const PlacedPart& placed, const Part& part);

  // ---- the page around it
  std::string title_text() const { return harness_.name.empty() ? "A harness" : harness_.name; }
  std::string description() const;
  // All of it, of which `view` is seen.
  std::string whole(const Box& view, std::string_view content) const;
  using Legend = std::vector<LegendEntry>;
  // Only of what is there.
  Legend legend() const;
  // In columns as wide as its widest short entry, from there down; where it ends.
  double write_legend(Pen& page, double y, double width) const;
  // The title and what the harness says of itself, from there down; where that ends.
  double write_head(Pen& page, double y, double width) const;
  void explain_joints(Legend& legend) const;
  void explain_wires(Legend& legend) const;
  void explain_contacts(Legend& legend) const;
  void explain_setting(Legend& legend) const;
  void explain_probes(Legend& legend) const;
  void explain_stage(Legend& legend) const;
  void explain_numbers(Legend& legend) const;
  void explain_changes(Legend& legend) const;
  std::string framed();
  std::string framed_small();
  std::string nothing() const;

  const Harness& harness_;
  const Layout& layout_;
  const Look& look_;
  Box body_;
  Box view_;
  double scale_ = 1;
  std::vector<PartId> missing_;
  Path path_;
  std::vector<Live> live_;
  std::vector<char> trail_;
  Setting stands_;                       // where the controls stand, if only at rest
  std::vector<std::vector<Spot>> ways_;  // by strand
  std::vector<char> grounded_;           // by strand: its symbol stands for it
  LabelPlacer placer_;
  std::vector<Lettering> placed_texts_;
  std::vector<Box> words_;
  std::vector<std::pair<std::string, std::string>> keyed_;
  std::vector<std::string> unseen_;  // what wires are called that ground symbols stand for
  std::vector<Spot> suspects_;
  mutable std::vector<PartId> path_parts_;
  mutable bool path_parts_known_ = false;
  Extent extent_;
  Pen pen_;
};

}  // namespace lugwise::drawing::inside
