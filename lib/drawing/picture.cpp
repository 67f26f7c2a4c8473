#include "drawing/inside/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "circuit/circuit.h"

namespace lugwise {

using namespace drawing::inside;
namespace drawing::inside {

std::string moved_by(double x, double y) {
  return fmt::format("transform=\"translate({} {})\"", number(x), number(y));
}

Lettering line_of(const std::string& text, Spot at, double size) {
  Lettering line;
  line.text = text;
  line.at = at;
  line.size = size;
  line.from = Lettering::From::Start;
  return line;
}

// Tags may stand outside of everything, where there is always room.
Box body_of(const Layout& layout, const Look& look) {
  const double margin = look.tags.empty() ? 0 : 26;
  return {-margin, -margin, layout.width * kCell + 2 * margin, layout.height * kCell + 2 * margin};
}

Picture::Picture(const Harness& harness, const Layout& layout, const Look& look)
    : harness_(harness),
      layout_(layout),
      look_(look),
      body_(body_of(layout, look)),
      stands_(look.setting ? *look.setting : Setting(harness)),
      placer_(body_) {
  if (look.stage && *look.stage < harness.stages().size()) missing_ = harness.stages()[*look.stage].without;
  if (look.setting || look.probes) {
    State state;
    state.setting = stands_;
    state.stage = look.stage;
    const Circuit circuit = circuit_of(harness, state);
    if (look.probes) path_ = path_between(harness, circuit, look.probes->first, look.probes->second);
    if (look.setting && !look.probes) live_ = live_points(harness, circuit, look.stage);
  }
  trail_.assign(harness.elements().size(), 0);
  if (!path_.elements.empty()) trail_ = path_.elements;
  for (const Strand& strand : layout_.strands) ways_.push_back(way_of(strand));
  grounded_.assign(ways_.size(), 0);
  if (look.ground_symbols) find_grounded();
  if (look.small) choose_view();
}

std::string Picture::draw() {
  if (layout_.parts.empty()) return nothing();
  draw_trail();
  draw_live();
  for (const PlacedPart& part : layout_.parts) draw_part(part);
  for (std::size_t i = 0; i < layout_.strands.size(); ++i) draw_strand(i);
  draw_joints();
  if (!look_.small) {
    write_labels();
  } else {
    gather_obstacles();
  }
  draw_suspects();
  draw_changes();
  draw_probes();
  draw_tags();
  draw_targets();
  return look_.small ? framed_small() : framed();
}

Extent Picture::extent() {
  if (layout_.parts.empty()) return {kLeast, 60};
  draw();
  return extent_;
}

bool Picture::is_missing(PartId part) const {
  return std::find(missing_.begin(), missing_.end(), part) != missing_.end();
}

bool Picture::is_missing(PointId point) const {
  const Point& at = harness_[point];
  if (at.part) return is_missing(*at.part);
  return false;
}

bool Picture::is_missing(const Strand& strand) const {
  switch (strand.kind) {
    case Strand::Kind::Lead:
      return is_missing(strand.from) || is_missing(strand.to);
    case Strand::Kind::Touch:
      return is_missing(strand.from) || is_missing(strand.to);
    default:
      return false;
  }
}

std::vector<Spot> Picture::way_of(const Strand& strand) const {
  std::vector<Spot> way;
  for (const Cell cell : strand.path) way.push_back(at_cell(cell));
  if (way.empty()) return way;
  if (strand.free_start) way.front() = outward(strand.start, 1.2);
  if (strand.free_end) way.back() = outward(strand.end, 1.2);
  return way;
}

std::string Picture::wire_name(WireId id) const {
  const Wire& wire = harness_[id];
  if (wire.braid && wire.core) return "braid of " + wire_name(*wire.core);
  return wire.name.empty() ? fmt::format("wire-{}", place_in_list(id)) : wire.name;
}

std::size_t Picture::place_in_list(WireId id) const {
  std::size_t place = 0;
  for (std::uint32_t i = 0; i <= id.index; ++i) place += !harness_[WireId{i}].braid;
  return place;
}

std::string Picture::strand_title(const Strand& strand) const {
  std::string title;
  if (strand.wire) {
    const Wire& wire = harness_[*strand.wire];
    title = wire_name(*strand.wire) + ": " + harness_[strand.from].name;
    if (!wire.colour.empty()) title += ", " + wire.colour;
    if (wire.gauge) title += fmt::format(", AWG {:.4g}", *wire.gauge);
    if (wire.length) title += fmt::format(", {:.4g} mm", *wire.length * 1000);
    if (wire.uncut) title += ", uncut";
    return title;
  }
  return fmt::format("{} {} {}", harness_[strand.from].name,
                     strand.kind == Strand::Kind::Touch ? "touches" : "is soldered to",
                     harness_[strand.to].name);
}

}  // namespace drawing::inside

std::string picture(const Harness& harness, const Layout& layout, const Look& look) {
  return Picture(harness, layout, look).draw();
}

Extent extent_of(const Harness& harness, const Layout& layout, const Look& look) {
  return Picture(harness, layout, look).extent();
}

}  // namespace lugwise
