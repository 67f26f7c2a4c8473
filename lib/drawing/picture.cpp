#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "circuit/circuit.h"
#include "drawing/drawing.h"
#include "drawing/inside/label.h"
#include "drawing/inside/lettering.h"
#include "drawing/inside/live.h"
#include "drawing/inside/palette.h"
#include "drawing/inside/pen.h"
#include "drawing/inside/value_text.h"

namespace lugwise {

using namespace inside;

namespace {

constexpr double kPad = 14;        // around everything
constexpr double kLeast = 330;     // units: the narrowest page
constexpr double kLabelSize = 10;  // of wires
constexpr double kLegendSize = 10.5;
constexpr double kPaper = 302;  // units that 8 cm of paper hold where one is 1/96 inch
constexpr const char* kInk = "#1d2126";
constexpr const char* kMetal = "#dcd7c9";
constexpr const char* kPart = "#f5f2ea";
constexpr const char* kFaint = "#8b9096";
constexpr const char* kTrail = "#ffd24a";
constexpr const char* kRed = "#c21f30";

std::string stroke(const char* colour, double width, const char* more = "") {
  return fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"{}{}", colour, number(width),
                     *more ? " " : "", more);
}

Spot at_cell(Cell cell) { return {cell.x * kCell, cell.y * kCell}; }

Spot outward(const Foot& foot, double cells) {
  Spot at = at_cell(foot.at);
  const double by = cells * kCell;
  switch (foot.out) {
    case Side::Up:
      at.y -= by;
      break;
    case Side::Down:
      at.y += by;
      break;
    case Side::Left:
      at.x -= by;
      break;
    case Side::Right:
      at.x += by;
      break;
  }
  return at;
}

Box around(const std::vector<Spot>& spots, double by) {
  double left = 1e9, top = 1e9, right = -1e9, low = -1e9;
  for (const Spot& spot : spots) {
    left = std::min(left, spot.x);
    right = std::max(right, spot.x);
    top = std::min(top, spot.y);
    low = std::max(low, spot.y);
  }
  return {left - by, top - by, right - left + 2 * by, low - top + 2 * by};
}

Box united(const Box& a, const Box& b) {
  const double x = std::min(a.x, b.x), y = std::min(a.y, b.y);
  return {x, y, std::max(a.x + a.width, b.x + b.width) - x, std::max(a.y + a.height, b.y + b.height) - y};
}

// Half way along a run.
Spot half_way(const std::vector<Spot>& path) {
  double length = 0;
  for (std::size_t i = 1; i < path.size(); ++i)
    length += std::hypot(path[i].x - path[i - 1].x, path[i].y - path[i - 1].y);
  double left = length / 2;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const double here = std::hypot(path[i].x - path[i - 1].x, path[i].y - path[i - 1].y);
    if (here >= left && here > 0) {
      const double t = left / here;
      return {path[i - 1].x + t * (path[i].x - path[i - 1].x),
              path[i - 1].y + t * (path[i].y - path[i - 1].y)};
    }
    left -= here;
  }
  return path.empty() ? Spot{} : path.front();
}

class Picture {
 public:
  Picture(const Harness& harness, const Layout& layout, const Look& look)
      : harness_(harness),
        layout_(layout),
        look_(look),
        body_{0, 0, layout.width * kCell, layout.height * kCell},
        placer_({0, 0, layout.width * kCell, layout.height * kCell}) {
    if (look.stage && *look.stage < harness.stages().size()) missing_ = harness.stages()[*look.stage].without;
    if (look.setting || look.probes) {
      State state;
      state.setting = look.setting ? *look.setting : Setting(harness);
      state.stage = look.stage;
      const Circuit circuit = circuit_of(harness, state);
      if (look.probes) path_ = path_between(harness, circuit, look.probes->first, look.probes->second);
      if (look.setting && !look.probes) live_ = live_points(harness, circuit, look.stage);
    }
    trail_.assign(harness.elements().size(), 0);
    if (!path_.elements.empty()) trail_ = path_.elements;
    for (const Strand& strand : layout_.strands) ways_.push_back(way_of(strand));
    if (look.small) choose_view();
  }

  std::string draw() {
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
    draw_probes();
    return look_.small ? framed_small() : framed();
  }

  Extent extent() {
    if (layout_.parts.empty()) return {kLeast, 60};
    draw();
    return extent_;
  }

 private:
  // ---- what is where

  bool is_missing(PartId part) const {
    return std::find(missing_.begin(), missing_.end(), part) != missing_.end();
  }
  bool is_missing(PointId point) const {
    const Point& at = harness_[point];
    if (at.part) return is_missing(*at.part);
    return false;
  }

  // A lead of a missing part is away with it.
  bool is_missing(const Strand& strand) const {
    switch (strand.kind) {
      case Strand::Kind::Lead:
        return is_missing(strand.from) || is_missing(strand.to);
      case Strand::Kind::Touch:
        return is_missing(strand.from) || is_missing(strand.to);
      default:
        return false;
    }
  }

  bool on_trail(std::optional<ElementId> element) const { return element && trail_[element->index]; }
  bool on_trail(PointId point) const { return !path_.points.empty() && path_.points[point.index]; }

  // The corners of a strand; of one without a way, nothing.
  std::vector<Spot> way_of(const Strand& strand) const {
    std::vector<Spot> way;
    for (const Cell cell : strand.path) way.push_back(at_cell(cell));
    if (way.empty()) return way;
    if (strand.free_start) way.front() = outward(strand.start, 1.2);
    if (strand.free_end) way.back() = outward(strand.end, 1.2);
    return way;
  }

  std::string wire_name(WireId id) const {
    const Wire& wire = harness_[id];
    if (wire.braid && wire.core) return "braid of " + wire_name(*wire.core);
    return wire.name.empty() ? fmt::format("wire-{}", place_in_list(id)) : wire.name;
  }

  // A wire without a name is called by its place in the netlist's list, where braids don't count.
  std::size_t place_in_list(WireId id) const {
    std::size_t place = 0;
    for (std::uint32_t i = 0; i <= id.index; ++i) place += !harness_[WireId{i}].braid;
    return place;
  }

  std::string strand_title(const Strand& strand) const {
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

  // ---- under everything

  void draw_trail() {
    const std::string band = stroke(kTrail, 11, "stroke-linecap=\"round\" stroke-linejoin=\"round\"");
    std::vector<std::vector<Spot>> bands;
    pen_.open("g", "class=\"path\"");
    for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
      const Strand& strand = layout_.strands[i];
      bool on = on_trail(strand.element);
      if (strand.kind == Strand::Kind::Lead) on = lead_on_trail(strand);
      if (on && !ways_[i].empty()) bands.push_back(ways_[i]);
    }
    for (const Mark& mark : layout_.marks) {
      if (on_trail(mark.element)) bands.push_back({mark.at, {mark.at.x + 0.01, mark.at.y}});
    }
    for (const Pool& pool : layout_.pools) {
      if (on_trail(pool.grip)) bands.push_back(pool.spots);
    }
    for (const auto& way : bands) pen_.path(way_through(way, 4), band);
    pen_.close("g");
  }

  // A part's own lead has no resistance of its own: it carries what its joint carries.
  bool lead_on_trail(const Strand& strand) const {
    return std::any_of(layout_.marks.begin(), layout_.marks.end(), [&](const Mark& mark) {
      return mark.lead == strand.from && mark.surface == strand.to && on_trail(mark.element);
    });
  }

  Live live_of(const Strand& strand) const {
    if (live_.empty()) return Live::Through;
    return live_[strand.from.index];
  }

  void draw_live() {
    if (live_.empty()) return;
    pen_.open("g", "class=\"live\"");
    for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
      if (is_missing(layout_.strands[i]) || ways_[i].empty()) continue;
      const Live live = live_of(layout_.strands[i]);
      if (live == Live::Hot || live == Live::Both)
        pen_.path(way_through(ways_[i], 4), stroke("#f2b48c", 10, "data-live=\"hot\""));
      if (live == Live::Ground || live == Live::Both)
        pen_.path(way_through(ways_[i], 4),
                  stroke("#9fbfdc", 10, "stroke-dasharray=\"2.5 2.5\" data-live=\"ground\""));
    }
    pen_.close("g");
  }

  // ---- parts

  void draw_part(const PlacedPart& placed) {
    const Part& part = harness_[placed.part];
    const bool away = is_missing(placed.part);
    const bool aside = look_.small && !is_near(placed.part);
    pen_.open("g", fmt::format("class=\"part\" data-part=\"{}\" data-kind=\"{}\"{}", escaped(part.name),
                               kind_name(part.kind),
                               away    ? " opacity=\"0.35\""
                               : aside ? " opacity=\"0.4\""
                                       : ""));
    pen_.raw("<title>" + escaped(part_title(part)) + "</title>\n");
    draw_body(placed, part, away);
    for (const Terminal& terminal : placed.terminals) draw_terminal(placed, terminal);
    for (const Feature& feature : placed.features) draw_feature(placed, part, feature);
    if (!look_.small) {
      for (const Lettering& lettering : placed.lettering) pen_.text(lettering);
      write_place(placed, part);
    } else if (is_near(placed.part) && in_view(placed)) {
      write_small(placed, part);
    }
    pen_.close("g");
  }

  static std::string_view kind_name(PartKind kind) {
    switch (kind) {
      case PartKind::Pickup:
        return "pickup";
      case PartKind::Pot:
        return "pot";
      case PartKind::Switch:
        return "switch";
      case PartKind::Jack:
        return "jack";
      case PartKind::Resistor:
        return "resistor";
      case PartKind::Capacitor:
        return "capacitor";
      case PartKind::Metal:
        return "metal";
      case PartKind::Battery:
        return "battery";
      default:
        return "module";
    }
  }

  std::string part_title(const Part& part) const {
    return fmt::format("{}, {}", part.name, kind_name(part.kind));
  }

  void draw_body(const PlacedPart& placed, const Part& part, bool away) {
    const std::string line = fmt::format("fill=\"{}\" stroke=\"{}\" stroke-width=\"1.5\" class=\"outline\"{}",
                                         kPart, kInk, away ? " stroke-dasharray=\"5 4\"" : "");
    const std::string metal =
        fmt::format("fill=\"{}\" stroke=\"{}\" stroke-width=\"1.5\" class=\"outline\"{}", "#e9e6de", kInk,
                    away ? " stroke-dasharray=\"5 4\"" : "");
    if (placed.round) {
      pen_.box(placed.outline.back(), 3, line);
      const Box& round = placed.outline.front();
      pen_.circle({round.x + round.width / 2, round.y + round.height / 2}, round.width / 2, metal);
      return;
    }
    switch (part.kind) {
      case PartKind::Resistor:
      case PartKind::Capacitor:
      case PartKind::Battery:
        break;  // the symbol is the part
      case PartKind::Metal:
        pen_.box(placed.outline.front(), 2, metal);
        break;
      case PartKind::Module:
        pen_.box(placed.outline.front(), 4, line);
        pen_.box({placed.outline.front().x + 3, placed.outline.front().y + 3,
                  placed.outline.front().width - 6, placed.outline.front().height - 6},
                 3, stroke(kFaint, 0.8, "stroke-dasharray=\"3 3\""));
        break;
      case PartKind::Pickup:
        pen_.box(placed.outline.front(), 10, line);
        if (placed.screen) pen_.box(*placed.screen, 5, stroke(kInk, 1, "stroke-dasharray=\"5 3\""));
        break;
      default:
        pen_.box(placed.outline.front(), 4, line);
    }
  }

  // The metal of a terminal, as wide as what is joined there.
  void draw_terminal(const PlacedPart& placed, const Terminal& terminal) {
    const Part& part = harness_[placed.part];
    const std::string of = fmt::format("data-point=\"{}\"", escaped(harness_[terminal.point].name));
    const std::string style =
        fmt::format("fill=\"{}\" stroke=\"{}\" stroke-width=\"1.1\" {}", kMetal, kInk, of);
    if (terminal.ring) {
      pen_.circle(terminal.at, 0.5, "fill=\"none\" " + of);
      return;
    }
    if (terminal.sites.empty()) {
      if (harness_[terminal.point].role == PointRole::Plug)
        pen_.circle(terminal.at, 3.6, style);
      else
        pen_.circle(terminal.at, 1.8, fmt::format("fill=\"{}\" {}", kInk, of));
      return;
    }
    if (part.kind == PartKind::Metal) {
      pen_.circle(terminal.at, 0.5, "fill=\"none\" " + of);
      return;
    }
    std::vector<Spot> spots;
    for (const Foot& foot : terminal.sites) {
      if (!is_free_end(foot)) spots.push_back(at_cell(foot.at));
    }
    if (spots.empty()) spots.push_back(at_cell(terminal.sites.front().at));
    const Side out = terminal.sites.front().out;
    Box pad = around(spots, 3.6);
    if (part.kind == PartKind::Resistor || part.kind == PartKind::Capacitor ||
        part.kind == PartKind::Battery) {
      if (spots.size() > 1)
        pen_.box(around(spots, 2.2), 2, style);
      else
        pen_.circle(spots.front(), 2.4, style);
      return;
    }
    const double in = 6.5;  // how far it reaches back to the part
    switch (out) {
      case Side::Up:
        pad.height += in;
        break;
      case Side::Down:
        pad.y -= in;
        pad.height += in;
        break;
      case Side::Left:
        pad.width += in;
        break;
      case Side::Right:
        pad.x -= in;
        pad.width += in;
        break;
    }
    pen_.box(pad, 3, style);
  }

  bool is_free_end(const Foot& foot) const {
    return std::any_of(layout_.strands.begin(), layout_.strands.end(), [&](const Strand& strand) {
      return (strand.free_start && strand.start.at == foot.at) ||
             (strand.free_end && strand.end.at == foot.at);
    });
  }

  bool closed(const Element& contact, const Part& part) const {
    if (!look_.setting) return false;
    switch (contact.when) {
      case Conducts::InPositions:
        return std::find(contact.closed_in.begin(), contact.closed_in.end(),
                         look_.setting->position(*contact.part)) != contact.closed_in.end();
      case Conducts::PlugIn:
      case Conducts::PlugOut:
        return look_.setting->plugged(*contact.part) == (contact.when == Conducts::PlugIn);
      default:
        return part.kind == PartKind::Metal;
    }
  }

  void draw_feature(const PlacedPart& placed, const Part& part, const Feature& feature) {
    const std::vector<Spot>& path = feature.path;
    const bool on = on_trail(feature.element) ||
                    (feature.kind == Feature::Kind::Line && feature.point && on_trail(*feature.point));
    if (on && feature.kind != Feature::Kind::Wiper) {
      pen_.path(way_through(path),
                stroke(kTrail, feature.kind == Feature::Kind::Line ? 6 : 10, "stroke-linecap=\"round\""));
    }
    const std::string of = feature.element ? fmt::format("data-element=\"{}\"", feature.element->index) : "";
    const std::string thin = stroke(kInk, 1.2, of.c_str());
    switch (feature.kind) {
      case Feature::Kind::Line:
        pen_.path(way_through(path), thin);
        break;
      case Feature::Kind::Coil:
        draw_coil(path, of);
        break;
      case Feature::Kind::Track:
        pen_.box({path[0].x, path[0].y - 3.5, path[1].x - path[0].x, 7}, 0,
                 fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.2\" {}", kInk, of));
        break;
      case Feature::Kind::Wiper:
        draw_wiper(placed, part, path, of, on);
        break;
      case Feature::Kind::Contact:
        draw_contact(part, feature, of);
        break;
      case Feature::Kind::Joint:
        pen_.circle(path.front(), 2.6,
                    fmt::format("fill=\"{}\" data-joint=\"{}\"", kInk, feature.element->index));
        break;
      case Feature::Kind::Butt:
        pen_.line(path[0], path[1], stroke(kInk, 1.5, of.c_str()));
        break;
      case Feature::Kind::Resistor:
      case Feature::Kind::Capacitor:
      case Feature::Kind::Cell:
        draw_symbol(feature, of);
        break;
    }
  }

  // Half circles along a line, as IEC 60617 draws a winding.
  void draw_coil(const std::vector<Spot>& path, const std::string& of) {
    const double from = std::min(path[0].x, path[1].x), to = std::max(path[0].x, path[1].x);
    const double y = path[0].y;
    const int humps = std::clamp(static_cast<int>((to - from - 16) / 8), 3, 6);
    const double r = std::min(4.5, (to - from - 8) / 2 / humps);
    const double start = (from + to) / 2 - humps * r;
    std::string way = fmt::format("M{} {}H{}", number(from), number(y), number(start));
    for (int i = 0; i < humps; ++i)
      way += fmt::format("a{} {} 0 0 1 {} 0", number(r), number(r), number(2 * r));
    way += fmt::format("H{}", number(to));
    pen_.path(way, stroke(kInk, 1.4, of.c_str()));
  }

  // The wiper's arrow on the track: where its taper puts it, or in the middle where nothing says.
  void draw_wiper(const PlacedPart&, const Part& part, const std::vector<Spot>& path, const std::string& of,
                  bool on) {
    double share = 0.5;
    bool off_track = false;
    if (look_.setting && part.pot) {
      const PartId control = part.pot->gang ? *part.pot->gang : *harness_[part.pot->lug1].part;
      const double knob = look_.setting->knob(control);
      const WiperShare at = wiper_share(*part.pot, knob);
      share = part.pot->taper == Taper::Unknown && knob > 0 && knob < 10 ? knob / 10 : at.nominal;
      off_track = part.pot->no_load && knob >= 10;
    }
    const Spot lug = path[0];
    const double x = path[1].x + share * (path[2].x - path[1].x);
    const double track = path[1].y + 3.5;
    const double level = track + 7;
    const double tip = off_track ? track + 4 : track;
    const std::vector<Spot> way{lug, {lug.x, level}, {x, level}, {x, tip + 3}};
    if (on) pen_.path(way_through(way), stroke(kTrail, 6, "stroke-linejoin=\"round\""));
    pen_.path(way_through(way), stroke(kInk, 1.2, of.c_str()));
    pen_.path(fmt::format("M{} {}L{} {}L{} {}Z", number(x), number(tip), number(x - 2.6), number(tip + 4.4),
                          number(x + 2.6), number(tip + 4.4)),
              fmt::format("fill=\"{}\" class=\"wiper\"", kInk));
  }

  void draw_contact(const Part& part, const Feature& feature, const std::string& of) {
    const Spot bar = feature.path[0], lug = feature.path[1];
    const Element& contact = harness_[*feature.element];
    const bool made = closed(contact, part);
    const double toward = lug.x < bar.x ? -1 : 1;
    const double length = std::abs(lug.x - bar.x);
    if (made) {
      pen_.line(bar, {lug.x - toward * 2.4, lug.y}, stroke(kInk, 2.6, ("class=\"closed\" " + of).c_str()));
      pen_.circle(lug, 2.6, fmt::format("fill=\"{}\"", kInk));
    } else {
      const double rise = std::min(6.5, length * 0.45);
      const std::string open = "class=\"open\" " + of;
      pen_.line(bar, {lug.x - toward * std::min(4.5, length * 0.3), lug.y - rise},
                stroke(look_.setting ? kInk : kFaint, 1.3, open.c_str()));
      pen_.circle(
          lug, 2.4,
          fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.1\"", look_.setting ? kInk : kFaint));
    }
    pen_.circle(bar, 1.5, fmt::format("fill=\"{}\"", kInk));
  }

  // IEC 60617: a box for a resistor, two plates for a capacitor, a long and a short line for a cell.
  void draw_symbol(const Feature& feature, const std::string& of) {
    const Spot a = feature.path[0], b = feature.path[1];
    const bool upright = a.x == b.x;
    const Spot mid{(a.x + b.x) / 2, (a.y + b.y) / 2};
    const auto place = [&](double along, double side) {
      return upright ? Spot{mid.x + side, mid.y + along} : Spot{mid.x + along, mid.y + side};
    };
    const double half = feature.kind == Feature::Kind::Resistor ? 12 : 2.5;
    pen_.line(a, place(-half, 0), stroke(kInk, 1.4));
    pen_.line(place(half, 0), b, stroke(kInk, 1.4));
    if (feature.kind == Feature::Kind::Resistor) {
      const Spot corner = place(-half, -4.5), other = place(half, 4.5);
      pen_.box({std::min(corner.x, other.x), std::min(corner.y, other.y), std::abs(corner.x - other.x),
                std::abs(corner.y - other.y)},
               0, fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.4\" {}", kInk, of));
      return;
    }
    const bool cell = feature.kind == Feature::Kind::Cell;
    pen_.line(place(-half, -9), place(-half, 9), stroke(kInk, cell ? 1.4 : 2.4, of.c_str()));
    pen_.line(place(half, cell ? -5 : -9), place(half, cell ? 5 : 9), stroke(kInk, cell ? 3.2 : 2.4));
  }

  void write_place(const PlacedPart& placed, const Part& part) {
    if (!placed.place || !look_.setting) return;
    std::string text;
    if (part.kind == PartKind::Pot) {
      text = "at " + look_.setting->place_name(harness_, placed.part);
    } else if (part.kind == PartKind::Switch || part.kind == PartKind::Jack) {
      text = look_.setting->place_name(harness_, placed.part);
      if (part.kind == PartKind::Jack) text = "plug " + text;
    }
    Lettering lettering = *placed.place;
    lettering.text = shortened(text, lettering.size, 130, true);
    if (lettering.text != text) lettering.full = text;
    pen_.text(lettering, fmt::format("class=\"place\" fill=\"#7a3b00\""));
    placed_texts_.push_back(lettering);
  }

  // ---- wires

  void draw_strand(std::size_t index) {
    const Strand& strand = layout_.strands[index];
    const std::vector<Spot>& spots = ways_[index];
    if (is_missing(strand)) return;
    const bool aside = look_.small && !strand_near(strand, index);
    std::string more;
    if (strand.wire) {
      more = fmt::format(" data-wire=\"{}\" data-leg=\"{}\"", escaped(wire_name(*strand.wire)),
                         strand.element->index);
    } else if (strand.element) {
      more = fmt::format(" data-element=\"{}\"", strand.element->index);
    }
    const bool dead = !live_.empty() && live_of(strand) == Live::Dead;
    pen_.open("g", fmt::format("class=\"{}\"{} data-from=\"{}\" data-to=\"{}\"{}",
                               strand.kind == Strand::Kind::Leg    ? "leg"
                               : strand.kind == Strand::Kind::Lead ? "lead"
                                                                   : "touch",
                               more, escaped(harness_[strand.from].name), escaped(harness_[strand.to].name),
                               aside  ? " opacity=\"0.3\""
                               : dead ? " opacity=\"0.4\""
                                      : ""));
    pen_.raw("<title>" + escaped(strand_title(strand)) + "</title>\n");
    if (spots.empty()) {
      draw_stubs(strand, index);
    } else {
      draw_wire(strand, way_through(spots, 4.5), way_through(trimmed(spots, 9), 4.5));
      if (strand.free_start)
        pen_.circle(spots.front(), 3, fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.3\"", kInk));
      if (strand.free_end)
        pen_.circle(spots.back(), 3, fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.3\"", kInk));
    }
    pen_.close("g");
  }

  // Two short ends that carry one number: it goes on over there.
  void draw_stubs(const Strand& strand, std::size_t index) {
    for (const Foot& foot : {strand.start, strand.end}) {
      const Spot at = at_cell(foot.at), out = outward(foot, 1.3);
      draw_wire(strand, way_through({at, out}), "");
      pen_.circle(out, 6, fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1\"", kInk));
      Lettering tag;
      tag.text = std::to_string(index + 1);
      tag.at = {out.x, out.y + 2.6};
      tag.size = 7.5;
      pen_.text(tag);
    }
  }

  // A run without so much of either end.
  static std::vector<Spot> trimmed(std::vector<Spot> spots, double by) {
    for (int end = 0; end < 2; ++end) {
      const Spot next = spots[1];
      Spot& tip = spots[0];
      const double length = std::hypot(next.x - tip.x, next.y - tip.y);
      if (length > by)
        tip = {tip.x + (next.x - tip.x) * by / length, tip.y + (next.y - tip.y) * by / length};
      else if (spots.size() > 2)
        spots.erase(spots.begin());
      std::reverse(spots.begin(), spots.end());
    }
    return spots;
  }

  // `clear` is the stretch around which what it crosses is interrupted.
  void draw_wire(const Strand& strand, const std::string& way, const std::string& clear) {
    const std::string casing = stroke("#fff", 7.6);
    if (strand.kind == Strand::Kind::Touch) {
      if (!clear.empty()) pen_.path(clear, casing);
      pen_.path(way,
                stroke(kInk, 2.2, "stroke-dasharray=\"0.1 4.4\" stroke-linecap=\"round\" class=\"run\""));
      return;
    }
    const auto wire = [&](double width, const std::string& colour, double inner) {
      if (!clear.empty()) pen_.path(clear, casing);
      pen_.path(way, stroke(kInk, width, "class=\"run\""));
      pen_.path(way, stroke(colour.c_str(), inner));
    };
    if (strand.kind == Strand::Kind::Leg) {
      const Wire& of = harness_[*strand.wire];
      const Paint paint = paint_of(of.colour);
      if (of.braid) {
        wire(5.8, "#e6e8ea", 4.2);
        pen_.path(way, stroke(kInk, 4.2, "stroke-dasharray=\"1 2.6\""));
      } else if (of.uncut && !paint.known) {
        wire(3.4, "#e0ad7b", 1.6);
      } else {
        wire(4.4, paint.base, 2.6);
        if (!paint.stripe.empty())
          pen_.path(way, stroke(paint.stripe.c_str(), 2.6, "stroke-dasharray=\"4 5\""));
      }
      return;
    }
    const Part& part = harness_[*harness_[strand.from].part];
    if (part.kind == PartKind::Pickup) {
      const std::string& name = harness_[strand.from].name;
      const std::string own = name.substr(name.find('.') + 1);
      const Paint paint = paint_of(own);
      if (own == "braid" || own == "shield") {
        wire(5.8, "#e6e8ea", 4.2);
        pen_.path(way, stroke(kInk, 4.2, "stroke-dasharray=\"1 2.6\""));
      } else if (own == "bare") {
        wire(3.4, "#e0ad7b", 1.6);
      } else {
        wire(4.4, paint.base, 2.6);
      }
    } else if (part.kind == PartKind::Pot || part.kind == PartKind::Switch || part.kind == PartKind::Jack) {
      wire(4.4, kMetal, 2.6);  // the lug itself, bent over
    } else {
      wire(3.0, "#e6e8ea", 1.4);
    }
  }

  void draw_joints() {
    for (const Pool& pool : layout_.pools) {
      pen_.open("g", fmt::format("class=\"blob\" data-element=\"{}\"", pool.grip.index));
      const std::string way = way_through(pool.spots);
      pen_.path(way, stroke(kInk, 10.6, "stroke-linecap=\"round\" stroke-linejoin=\"round\""));
      pen_.path(way, stroke(on_trail(pool.grip) ? kTrail : "#c9cbcc", 8.4,
                            "stroke-linecap=\"round\" stroke-linejoin=\"round\""));
      pen_.close("g");
    }
    for (const Mark& mark : layout_.marks) {
      if (is_missing(mark.surface) || is_missing(mark.lead)) continue;
      const std::string of =
          fmt::format("data-joint=\"{}\" data-surface=\"{}\" data-lead=\"{}\"", mark.element.index,
                      escaped(harness_[mark.surface].name), escaped(harness_[mark.lead].name));
      const std::string hollow = fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.7\" {}", kInk, of);
      switch (mark.kind) {
        case Mark::Kind::Solder:
          pen_.circle(mark.at, 3.2,
                      fmt::format("fill=\"{}\" stroke=\"#fff\" stroke-width=\"0.6\" {}", kInk, of));
          break;
        case Mark::Kind::Pressed:
          pen_.box({mark.at.x - 3.6, mark.at.y - 3.6, 7.2, 7.2}, 0, hollow);
          break;
        case Mark::Kind::Touch:
          pen_.path(
              fmt::format("M{} {}l4.6 4.6l-4.6 4.6l-4.6 -4.6Z", number(mark.at.x), number(mark.at.y - 4.6)),
              hollow);
          break;
      }
    }
  }

  // ---- names of wires

  void gather_obstacles() {
    for (const PlacedPart& part : layout_.parts) {
      for (const Box& box : part.outline) {
        placer_.avoid(box);
      }
      for (const Lettering& lettering : part.lettering) placer_.avoid(box_of(lettering));
      for (const Terminal& terminal : part.terminals) {
        for (const Foot& foot : terminal.sites) {
          const Spot at = at_cell(foot.at);
          placer_.avoid({at.x - 4, at.y - 4, 8, 8});
        }
      }
    }
    for (const Lettering& lettering : placed_texts_) placer_.avoid(box_of(lettering));
    for (std::size_t i = 0; i < ways_.size(); ++i) {
      if (ways_[i].empty()) {
        for (const Foot& foot : {layout_.strands[i].start, layout_.strands[i].end}) {
          const Spot out = outward(foot, 1.3);
          placer_.avoid({out.x - 7, out.y - 7, 14, 14});
        }
      }
      placer_.avoid(i, ways_[i]);
    }
  }

  std::string label_of(const Wire& wire) const {
    if (wire.braid) {
      const Wire& core = harness_[*wire.core];
      return core.name.empty() ? "braid" : "braid of " + core.name;
    }
    std::string label = wire.name;
    if (!wire.colour.empty()) label += (label.empty() ? "" : ", ") + wire.colour;
    return label;
  }

  void write_labels() {
    gather_obstacles();
    std::map<std::uint32_t, std::vector<std::size_t>> of_wire;
    for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
      if (layout_.strands[i].wire) of_wire[layout_.strands[i].wire->index].push_back(i);
    }
    std::vector<std::pair<std::string, std::vector<std::size_t>>> waiting;
    for (const auto& [index, strands] : of_wire) {
      std::string label = label_of(harness_[WireId{index}]);
      if (!label.empty()) waiting.emplace_back(std::move(label), strands);
    }
    std::stable_sort(waiting.begin(), waiting.end(),
                     [](const auto& a, const auto& b) { return a.first.size() > b.first.size(); });
    std::vector<std::pair<std::string, std::vector<std::size_t>>> tagged;
    for (const auto& [label, strands] : waiting) {
      Lettering made;
      const std::string text = shortened(label, kLabelSize, 170);
      if (!placer_.place(strands, text, kLabelSize, made)) {
        tagged.emplace_back(label, strands);
        continue;
      }
      if (text != label) made.full = label;
      write_label(made);
    }
    for (const auto& [label, strands] : tagged) {
      Spot at;
      const std::string number_text = std::to_string(keyed_.size() + 1);
      if (!placer_.place_tag(strands, 6.5, at)) {
        Spot on;
        if (!placer_.place_beside(strands, 6.5, at, on)) {
          keyed_.push_back({"–", label});
          continue;
        }
        pen_.line(on, at, stroke("#fff", 2.6));
        pen_.line(on, at, stroke(kInk, 0.9));
      }
      keyed_.push_back({number_text, label});
      pen_.circle(at, 6.2, fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"1\"", kInk));
      Lettering tag;
      tag.text = number_text;
      tag.at = {at.x, at.y + 2.9};
      tag.size = 8.5;
      pen_.text(tag, "class=\"tag\"");
    }
    if (live_.empty()) return;
    // What is live says so in words too, wherever there is room.
    for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
      if (is_missing(layout_.strands[i])) continue;
      const Live live = live_of(layout_.strands[i]);
      const char* word = live == Live::Hot      ? "hot"
                         : live == Live::Ground ? "ground"
                         : live == Live::Both   ? "hot = ground"
                                                : nullptr;
      Lettering made;
      if (word && placer_.place({i}, word, 8.5, made)) write_label(made);
    }
  }

  void write_label(const Lettering& label) {
    Box box = box_of(label);
    if (label.upright) {
      box.y -= 2;
      box.height += 4;
    } else {
      box.x -= 2;
      box.width += 4;
    }
    pen_.box(box, 0, "fill=\"#fff\"");
    pen_.text(label, "class=\"label\"");
  }

  // ---- suspects and probes

  std::optional<Spot> spot_of(const Fault& fault) const {
    if (fault.element) {
      for (const Mark& mark : layout_.marks) {
        if (mark.element == *fault.element) return mark.at;
      }
      for (const Pool& pool : layout_.pools) {
        if (pool.grip == *fault.element) return half_way(pool.spots);
      }
      for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
        if (layout_.strands[i].element == fault.element && !ways_[i].empty()) return half_way(ways_[i]);
      }
      for (const PlacedPart& part : layout_.parts) {
        for (const Feature& feature : part.features) {
          if (feature.element == fault.element && !feature.path.empty()) return half_way(feature.path);
        }
      }
    }
    std::optional<Spot> sum;
    int count = 0;
    for (PointId point : fault.points) {
      if (const auto at = layout_.spot(harness_, point)) {
        sum = sum ? Spot{sum->x + at->x, sum->y + at->y} : *at;
        ++count;
        if (count == 2) break;
      }
    }
    if (sum && count == 2) return Spot{sum->x / 2, sum->y / 2};
    return sum;
  }

  void draw_suspects() {
    const double scale = look_.small ? scale_ : 1;
    pen_.open("g", "class=\"suspects\"");
    for (std::size_t i = 0; i < look_.marked.size(); ++i) {
      const Fault& fault = look_.marked[i];
      const auto at = spot_of(fault);
      if (!at) continue;
      if (fault.mode == Mode::Short && !fault.element) {
        const auto a = layout_.spot(harness_, fault.a), b = layout_.spot(harness_, fault.b);
        if (a && b) pen_.line(*a, *b, stroke(kRed, 2.2 * scale, "stroke-dasharray=\"6 4\""));
      }
      // Several at one place: their badges stand around it.
      const int before =
          static_cast<int>(std::count_if(suspects_.begin(), suspects_.end(), [&](const Spot& other) {
            return std::hypot(other.x - at->x, other.y - at->y) < 12;
          }));
      suspects_.push_back(*at);
      const double r = 10.5 * scale;
      pen_.circle(*at, r, stroke("#fff", 4.6 * scale));
      pen_.circle(*at, r, stroke(kRed, 2.4 * scale));
      const double turn = 0.8 + 1.25 * before;
      const Spot badge{at->x + (r + 4 * scale) * std::cos(turn), at->y - (r + 4 * scale) * std::sin(turn)};
      pen_.circle(badge, 7.4 * scale, fmt::format("fill=\"{}\" stroke=\"#fff\" stroke-width=\"1.2\"", kRed));
      Lettering number_text;
      number_text.text = std::to_string(i + 1);
      number_text.at = {badge.x, badge.y + 3.5 * scale};
      number_text.size = 10 * scale;
      number_text.bold = true;
      pen_.text(number_text, "fill=\"#fff\" class=\"suspect\"");
      placer_.avoid(Box{at->x - r, at->y - r, 2 * r, 2 * r});
      placer_.avoid(Box{badge.x - 8 * scale, badge.y - 8 * scale, 16 * scale, 16 * scale});
    }
    pen_.close("g");
  }

  void draw_probes() {
    if (!look_.probes) return;
    pen_.open("g", "class=\"probes\"");
    const auto a = layout_.spot(harness_, look_.probes->first),
               b = layout_.spot(harness_, look_.probes->second);
    if (a) draw_probe(*a, "A", "#15181c", look_.probes->first);
    if (b) draw_probe(*b, "B", kRed, look_.probes->second);
    pen_.close("g");
  }

  // A needle, its grip and the letter, from the side where it covers least.
  void draw_probe(Spot tip, const char* letter, const char* colour, PointId point) {
    const double scale = look_.small ? scale_ : 1;
    const double needle = 13 * scale, grip = 30 * scale, half = 4.6 * scale, round = 9 * scale;
    const Box page = look_.small ? view_ : body_;
    double best = 1e18;
    Spot way{0.7071, -0.7071};
    for (int i = 0; i < 16; ++i) {
      const double turn = 3.14159265358979 * (i + 0.5) / 8;
      const Spot along{std::cos(turn), -std::sin(turn)};
      double price = std::abs(along.y) * 2 + (along.y > 0 ? 4 : 0);
      for (double far : {0.35, 0.7, 1.0}) {
        const double length = needle + (grip + round) * far;
        const Spot at{tip.x + along.x * length, tip.y + along.y * length};
        const double r = far == 1.0 ? round : half;
        const Box box{at.x - r, at.y - r, 2 * r, 2 * r};
        price += placer_.overlap(box) * (far == 1.0 ? 1 : 0.6);
        const double out = std::max({page.x - box.x, page.y - box.y, box.x + box.width - page.x - page.width,
                                     box.y + box.height - page.y - page.height, 0.0});
        price += out * 120;
      }
      if (price < best) {
        best = price;
        way = along;
      }
    }
    const Spot side{-way.y, way.x};
    const auto at = [&](double along, double across) {
      return Spot{tip.x + way.x * along + side.x * across, tip.y + way.y * along + side.y * across};
    };
    const auto spots = [&](std::initializer_list<Spot> list) {
      return way_through(std::vector<Spot>(list)) + "Z";
    };
    const std::string body =
        spots({at(needle, -half * 0.55), at(needle + 5 * scale, -half), at(needle + grip, -half),
               at(needle + grip, half), at(needle + 5 * scale, half), at(needle, half * 0.55)});
    const std::string point_way = spots({tip, at(needle, -half * 0.4), at(needle, half * 0.4)});
    pen_.open("g", fmt::format("class=\"probe\" data-probe=\"{}\" data-at=\"{}\"", letter,
                               escaped(harness_[point].name)));
    pen_.raw(
        fmt::format("<title>probe {} at {}</title>\n", letter, escaped(point_in_words(harness_, point))));
    const std::string halo = "fill=\"#fff\" stroke=\"#fff\" stroke-width=\"3\" stroke-linejoin=\"round\"";
    const Spot end = at(needle + grip, 0);
    pen_.path(body, halo);
    pen_.circle(end, round + 1.4, "fill=\"#fff\"");
    pen_.path(point_way,
              fmt::format("fill=\"#fff\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"", colour,
                          number(1.1 * scale)));
    pen_.path(body, fmt::format("fill=\"{}\"", colour));
    pen_.circle(end, round, fmt::format("fill=\"{}\"", colour));
    Lettering lettering;
    lettering.text = letter;
    lettering.at = {end.x, end.y + 4.3 * scale};
    lettering.size = 12 * scale;
    lettering.bold = true;
    pen_.text(lettering, "fill=\"#fff\" class=\"probe\"");
    pen_.close("g");
    const Box covered = around({tip, end}, round);
    placer_.avoid(covered);
  }

  // ---- the small picture

  std::optional<PartId> part_at(PointId point) const {
    const Point& at = harness_[point];
    if (at.part) return at.part;
    return at.on ? harness_[*at.on].part : std::nullopt;
  }

  bool is_near(PartId part) const {
    if (!look_.probes) return true;
    return part_at(look_.probes->first) == part || part_at(look_.probes->second) == part ||
           std::count(path_parts().begin(), path_parts().end(), part) > 0;
  }

  // Whole, so that no word is cut.
  bool in_view(const PlacedPart& placed) const {
    const double x = placed.corner.x * kCell, y = placed.corner.y * kCell;
    return x >= view_.x && y >= view_.y && x + placed.width * kCell <= view_.x + view_.width &&
           y + placed.height * kCell <= view_.y + view_.height;
  }

  const std::vector<PartId>& path_parts() const {
    if (path_parts_known_) return path_parts_;
    path_parts_known_ = true;
    for (std::uint32_t i = 0; i < path_.points.size(); ++i) {
      if (path_.points[i] && harness_[PointId{i}].part) path_parts_.push_back(*harness_[PointId{i}].part);
    }
    return path_parts_;
  }

  bool strand_near(const Strand& strand, std::size_t) const {
    return on_trail(strand.element) || (strand.kind == Strand::Kind::Lead && lead_on_trail(strand)) ||
           !look_.probes || strand.from == look_.probes->first || strand.to == look_.probes->first ||
           strand.from == look_.probes->second || strand.to == look_.probes->second;
  }

  // The parts that the probes are at, with some air, but no smaller than what stays a picture of the place.
  void choose_view() {
    std::optional<Box> view;
    const auto take = [&](const Box& box) { view = view ? united(*view, box) : box; };
    if (look_.probes) {
      for (PointId point : {look_.probes->first, look_.probes->second}) {
        const auto part = part_at(point);
        for (const PlacedPart& placed : layout_.parts) {
          if (part && placed.part == *part)
            take({placed.corner.x * kCell, placed.corner.y * kCell, placed.width * kCell,
                  placed.height * kCell});
        }
        if (const auto at = layout_.spot(harness_, point)) take({at->x - 30, at->y - 30, 60, 60});
      }
    }
    for (const Fault& fault : look_.marked) {
      if (const auto at = spot_of(fault)) take({at->x - 50, at->y - 50, 100, 100});
    }
    if (!view) view = body_;
    Box box{view->x - 16, view->y - 16, view->width + 32, view->height + 32};
    constexpr double kNarrowest = 260;
    if (box.width < kNarrowest) {
      box.x -= (kNarrowest - box.width) / 2;
      box.width = kNarrowest;
    }
    if (box.height < 150) {
      box.y -= (150 - box.height) / 2;
      box.height = 150;
    }
    view_ = box;
    scale_ = std::clamp(box.width / kPaper, 0.9, 2.4);
  }

  // The part's name as large as its room allows, and its lugs.
  void write_small(const PlacedPart& placed, const Part& part) {
    const bool large = scale_ > 1.15;
    for (const Lettering& lettering : placed.lettering) {
      const bool lug = !lettering.bold && lettering.size < 11;
      const bool value = lettering.text.find(' ') != std::string::npos && lug;
      if (large && value) continue;
      if (!large || !lettering.bold) {
        pen_.text(lettering);
        continue;
      }
    }
    if (!large) {
      write_place(placed, part);
      return;
    }
    const Lettering* first = nullptr;
    double low = 0;
    std::string whole;
    for (const Lettering& lettering : placed.lettering) {
      if (!lettering.bold) continue;
      if (!first) first = &lettering;
      low = lettering.at.y;
      whole += lettering.full.empty() ? lettering.text : "";
    }
    if (!first) return;
    const double room = placed.round ? 74 : placed.outline.front().width - 10;
    const bool two_lines = low > first->at.y;
    const double most = std::min(12 * scale_, placed.round ? 22.0 : 19.0);
    if (two_lines || !placed.round) {
      for (const Lettering& lettering : placed.lettering) {
        if (!lettering.bold) continue;
        Lettering larger = lettering;
        const double fit = room / std::max(1.0, text_width(lettering.text, 1, true));
        larger.size = std::clamp(fit, lettering.size, std::min(most, two_lines ? 15.0 : most));
        if (lettering.from != Lettering::From::Middle && !placed.screen && part.kind != PartKind::Pickup)
          larger.size = lettering.size;
        pen_.text(larger);
      }
      return;
    }
    Lettering larger = *first;
    const double fit = room / std::max(1.0, text_width(larger.text, 1, true));
    larger.size = std::clamp(fit, larger.size, most);
    larger.at.y += 6;
    pen_.text(larger);
  }

  // ---- the page around it

  std::string title_text() const { return harness_.name.empty() ? "A harness" : harness_.name; }

  std::string description() const {
    std::size_t wires = 0;
    for (const Wire& wire : harness_.wires()) wires += !wire.braid;
    std::string text = fmt::format("Wiring of {}: {} parts, {} wires, {} joints.", title_text(),
                                   harness_.parts().size(), wires, layout_.marks.size());
    if (look_.probes) {
      text += fmt::format(" Probe A, black, at {}. Probe B, red, at {}.",
                          point_in_words(harness_, look_.probes->first),
                          point_in_words(harness_, look_.probes->second));
    }
    for (std::size_t i = 0; i < look_.marked.size(); ++i)
      text += fmt::format(" Suspect {}: {}.", i + 1, in_words(harness_, look_.marked[i]));
    return text;
  }

  std::string svg(const Box& view, double width, double height, const std::string& inside_it) const {
    const std::string id = look_.id_prefix;
    return fmt::format(
               "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\" width=\"{}\" height=\"{}\" "
               "role=\"img\" "
               "aria-labelledby=\"{}title {}desc\" font-family=\"Arial, Helvetica, 'Liberation Sans', "
               "sans-serif\" fill=\"{}\">\n"
               "<title id=\"{}title\">{}</title>\n<desc id=\"{}desc\">{}</desc>\n",
               number(view.x), number(view.y), number(view.width), number(view.height), number(width),
               number(height), escaped(id), escaped(id), kInk, escaped(id), escaped(title_text()),
               escaped(id), escaped(description())) +
           inside_it + "</svg>\n";
  }

  struct Entry {
    std::string swatch;  // drawn in a box 26 wide and 12 high, its middle at 13, 0
    std::string text;
  };

  std::vector<Entry> legend() const {
    std::vector<Entry> entries;
    const auto add = [&](std::string swatch, std::string text) {
      entries.push_back({std::move(swatch), std::move(text)});
    };
    const auto has_mark = [&](Mark::Kind kind) {
      return std::any_of(layout_.marks.begin(), layout_.marks.end(),
                         [&](const Mark& mark) { return mark.kind == kind; });
    };
    if (has_mark(Mark::Kind::Solder))
      add(fmt::format("<circle cx=\"13\" cy=\"0\" r=\"3.2\" fill=\"{}\"/>", kInk), "soldered joint");
    if (!layout_.pools.empty())
      add(fmt::format("<path d=\"M8 0H18\" stroke=\"{}\" stroke-width=\"10.6\" "
                      "stroke-linecap=\"round\"/><path d=\"M8 0H18\" "
                      "stroke=\"#c9cbcc\" stroke-width=\"8.4\" stroke-linecap=\"round\"/><circle cx=\"8\" "
                      "cy=\"0\" r=\"3.2\" "
                      "fill=\"{}\"/><circle cx=\"18\" cy=\"0\" r=\"3.2\" fill=\"{}\"/>",
                      kInk, kInk, kInk),
          "leads in one blob");
    if (has_mark(Mark::Kind::Pressed))
      add(fmt::format("<rect x=\"9.4\" y=\"-3.6\" width=\"7.2\" height=\"7.2\" fill=\"#fff\" stroke=\"{}\" "
                      "stroke-width=\"1.7\"/>",
                      kInk),
          "pressed or screwed");
    if (has_mark(Mark::Kind::Touch))
      add(fmt::format("<path d=\"M0 0H26\" stroke=\"{}\" stroke-width=\"2.2\" stroke-dasharray=\"0.1 4.4\" "
                      "stroke-linecap=\"round\"/>"
                      "<path d=\"M21 -4.6l4.6 4.6l-4.6 4.6l-4.6 -4.6Z\" fill=\"#fff\" stroke=\"{}\" "
                      "stroke-width=\"1.7\"/>",
                      kInk, kInk),
          "touch, no solder");
    bool plain = false, bare = false, braid = false;
    for (const Strand& strand : layout_.strands) {
      if (strand.wire) {
        const Wire& wire = harness_[*strand.wire];
        const bool coloured = paint_of(wire.colour).known;
        braid = braid || wire.braid;
        bare = bare || (wire.uncut && !coloured && !wire.braid);
        plain = plain || (!wire.uncut && !wire.braid && !coloured);
      }
      if (strand.kind == Strand::Kind::Lead &&
          harness_[*harness_[strand.from].part].kind == PartKind::Pickup) {
        const std::string& name = harness_[strand.from].name;
        const std::string own = name.substr(name.find('.') + 1);
        braid = braid || own == "braid" || own == "shield";
        bare = bare || own == "bare";
      }
    }
    const auto wire = [&](double width, const char* colour, double inner, bool ticks) {
      return fmt::format(
          "<path d=\"M1 0H25\" stroke=\"{}\" stroke-width=\"{}\"/><path d=\"M1 0H25\" stroke=\"{}\" "
          "stroke-width=\"{}\"/>{}",
          kInk, number(width), colour, number(inner),
          ticks ? fmt::format(
                      "<path d=\"M1 0H25\" stroke=\"{}\" stroke-width=\"4.2\" stroke-dasharray=\"1 2.6\"/>",
                      kInk)
                : "");
    };
    if (plain) add(wire(4.4, "#b4bcc4", 2.6, false), "wire, no colour given");
    if (bare) add(wire(3.4, "#e0ad7b", 1.6, false), "bare wire");
    if (braid) add(wire(5.8, "#e6e8ea", 4.2, true), "braid or shield");
    if (look_.setting) {
      bool any = false;
      for (const PlacedPart& part : layout_.parts) {
        for (const Feature& feature : part.features) any = any || feature.kind == Feature::Kind::Contact;
      }
      if (any) {
        add(fmt::format("<path d=\"M3 0H21\" stroke=\"{}\" stroke-width=\"2.6\"/><circle cx=\"22\" cy=\"0\" "
                        "r=\"2.6\" fill=\"{}\"/>",
                        kInk, kInk),
            "closed contact");
        add(fmt::format("<path d=\"M3 0L17 -6\" stroke=\"{}\" stroke-width=\"1.3\"/><circle cx=\"22\" "
                        "cy=\"0\" r=\"2.4\" fill=\"#fff\" "
                        "stroke=\"{}\" stroke-width=\"1.1\"/>",
                        kInk, kInk),
            "open contact");
      }
    }
    if (!live_.empty()) {
      const auto has = [&](Live live) {
        for (const Strand& strand : layout_.strands) {
          if (!is_missing(strand) && live_of(strand) == live) return true;
        }
        return false;
      };
      if (has(Live::Hot) || has(Live::Both))
        add("<path d=\"M1 0H25\" stroke=\"#f2b48c\" stroke-width=\"10\"/>" + wire(4.4, "#b4bcc4", 2.6, false),
            "hot: metal to the tip");
      if (has(Live::Ground) || has(Live::Both))
        add("<path d=\"M1 0H25\" stroke=\"#9fbfdc\" stroke-width=\"10\" stroke-dasharray=\"2.5 2.5\"/>" +
                wire(4.4, "#b4bcc4", 2.6, false),
            "ground: metal to the sleeve");
      if (has(Live::Through)) add(wire(4.4, "#b4bcc4", 2.6, false), "no band: through a part only");
      if (has(Live::Dead))
        add("<g opacity=\"0.4\">" + wire(4.4, "#b4bcc4", 2.6, false) + "</g>", "faint: on neither");
    }
    if (look_.probes) {
      const auto probe = [&](const char* colour, const char* letter) {
        return fmt::format(
            "<circle cx=\"13\" cy=\"0\" r=\"7\" fill=\"{}\"/><text x=\"13\" y=\"3.4\" font-size=\"9.5\" "
            "font-weight=\"bold\" "
            "text-anchor=\"middle\" fill=\"#fff\">{}</text>",
            colour, letter);
      };
      add(probe("#15181c", "A"), harness_[look_.probes->first].name);
      add(probe(kRed, "B"), harness_[look_.probes->second].name);
      if (!path_.open) {
        add(fmt::format("<path d=\"M3 0H23\" stroke=\"{}\" stroke-width=\"10\" stroke-linecap=\"round\"/>",
                        kTrail),
            "the current's way");
      } else {
        add("", "no way between the probes in this setting");
      }
    }
    if (!missing_.empty())
      add("<rect x=\"4\" y=\"-5\" width=\"18\" height=\"10\" fill=\"none\" stroke=\"#8b9096\" "
          "stroke-dasharray=\"4 3\"/>",
          fmt::format("not there at stage {}", harness_.stages()[*look_.stage].name));
    for (const auto& [tag, label] : keyed_) {
      add(fmt::format("<circle cx=\"13\" cy=\"0\" r=\"6.2\" fill=\"#fff\" stroke=\"{}\"/><text x=\"13\" "
                      "y=\"2.9\" font-size=\"8.5\" "
                      "text-anchor=\"middle\">{}</text>",
                      kInk, tag),
          label);
    }
    for (std::size_t i = 0; i < look_.marked.size(); ++i) {
      add(fmt::format("<circle cx=\"13\" cy=\"0\" r=\"7\" fill=\"{}\"/><text x=\"13\" y=\"3.4\" "
                      "font-size=\"9.5\" font-weight=\"bold\" "
                      "text-anchor=\"middle\" fill=\"#fff\">{}</text>",
                      kRed, i + 1),
          in_words(harness_, look_.marked[i]));
    }
    return entries;
  }

  std::string framed() {
    const double width = std::max(kLeast, body_.width + 2 * kPad);
    const double shift = (width - body_.width) / 2;
    Pen page;
    double y = kPad + 14;
    const auto write = [&](const std::string& text, double x, double at, double size, bool bold,
                           const std::string& full = {}) {
      Lettering lettering;
      lettering.text = text;
      lettering.full = full;
      lettering.at = {x, at};
      lettering.size = size;
      lettering.bold = bold;
      lettering.from = Lettering::From::Start;
      page.text(lettering);
    };
    const std::string head = shortened(title_text(), 16, width - 2 * kPad, true);
    write(head, kPad, y, 16, true, head == title_text() ? "" : title_text());
    if (!harness_.about.empty()) {
      for (const std::string& text : wrapped(harness_.about, 11.5, width - 2 * kPad, 3)) {
        y += 15;
        write(text, kPad, y, 11.5, false);
      }
    }
    y += 12;
    const double top = y;
    y += body_.height + 14;

    // The legend, in columns as wide as its widest short entry.
    const std::vector<Entry> entries = legend();
    double column = 120;
    for (const Entry& entry : entries) {
      const double wide = 34 + text_width(entry.text, kLegendSize) + 14;
      if (wide <= (width - 2 * kPad) / 2) column = std::max(column, wide);
    }
    const int columns = std::max(1, static_cast<int>((width - 2 * kPad) / column));
    column = (width - 2 * kPad) / columns;
    page.line({kPad, y - 6}, {width - kPad, y - 6}, stroke("#c9ccd0", 1));
    page.open("g", "class=\"legend\"");
    int at = 0;
    y += 10;
    for (const Entry& entry : entries) {
      const double room = width - 2 * kPad - 34;
      const double needs = 34 + text_width(entry.text, kLegendSize);
      const int spans = std::clamp(static_cast<int>(std::ceil((needs + 6) / column)), 1, columns);
      if (at + spans > columns) {
        at = 0;
        y += 18;
      }
      const double x = kPad + at * column;
      if (!entry.swatch.empty()) {
        page.raw(
            fmt::format("<g transform=\"translate({} {})\">{}</g>\n", number(x), number(y), entry.swatch));
      }
      const auto lines = wrapped(entry.text, kLegendSize, spans == columns ? room : spans * column - 36, 3);
      for (std::size_t i = 0; i < lines.size(); ++i) {
        if (i > 0) y += 13;
        write(lines[i], x + 34, y + 3.7, kLegendSize, false, lines[i].ends_with("…") ? entry.text : "");
      }
      at += spans;
      if (at >= columns) {
        at = 0;
        y += 18;
      }
    }
    if (at > 0) y += 18;
    page.close("g");
    extent_ = {width, y + 2};
    std::string inside_it =
        "<rect width=\"" + number(width) + "\" height=\"" + number(extent_.height) + "\" fill=\"#fff\"/>\n";
    inside_it += fmt::format("<g transform=\"translate({} {})\">\n", number(shift), number(top)) +
                 pen_.take() + "</g>\n";
    inside_it += page.take();
    return svg({0, 0, width, extent_.height}, width, extent_.height, inside_it);
  }

  std::string framed_small() {
    const double size = 11 * scale_, line = 15 * scale_;
    Box view = view_;
    Pen page;
    const double top = view.y + view.height;
    int lines = 0;
    const auto write = [&](const char* letter, const char* colour, const std::string& text) {
      const double y = top + line * (lines + 0.5) + 2 * scale_;
      page.circle({view.x + 10 * scale_, y}, 6.5 * scale_, fmt::format("fill=\"{}\"", colour));
      Lettering mark;
      mark.text = letter;
      mark.at = {view.x + 10 * scale_, y + 3.3 * scale_};
      mark.size = 9 * scale_;
      mark.bold = true;
      page.text(mark, "fill=\"#fff\"");
      Lettering words;
      words.text = shortened(text, size, view.width - 26 * scale_);
      if (words.text != text) words.full = text;
      words.at = {view.x + 21 * scale_, y + 3.8 * scale_};
      words.size = size;
      words.from = Lettering::From::Start;
      page.text(words, "class=\"caption\"");
      ++lines;
    };
    if (look_.probes) {
      write("A", "#15181c", harness_[look_.probes->first].name);
      write("B", kRed, harness_[look_.probes->second].name);
    }
    for (std::size_t i = 0; i < look_.marked.size() && i < 3; ++i)
      write(std::to_string(i + 1).c_str(), kRed, in_words(harness_, look_.marked[i]));
    view.height += lines * line + (lines > 0 ? 4 * scale_ : 0);
    extent_ = {view.width, view.height};
    std::string inside_it =
        fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n", number(view.x),
                    number(view.y), number(view.width), number(view.height));
    inside_it += fmt::format(
        "<clipPath id=\"{}clip\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n<g "
        "clip-path=\"url(#{}clip)\">\n",
        escaped(look_.id_prefix), number(view.x), number(view.y), number(view_.width), number(view_.height),
        escaped(look_.id_prefix));
    inside_it += pen_.take() + "</g>\n" + page.take();
    return svg(view, view.width, view.height, inside_it);
  }

  std::string nothing() const {
    Lettering lettering;
    lettering.text = "Too large to be drawn.";
    lettering.at = {kPad, 35};
    lettering.from = Lettering::From::Start;
    Pen page;
    page.text(lettering);
    return svg({0, 0, kLeast, 60}, kLeast, 60, page.take());
  }

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
  std::vector<std::vector<Spot>> ways_;  // by strand
  LabelPlacer placer_;
  std::vector<Lettering> placed_texts_;
  std::vector<std::pair<std::string, std::string>> keyed_;
  std::vector<Spot> suspects_;
  mutable std::vector<PartId> path_parts_;
  mutable bool path_parts_known_ = false;
  Extent extent_;
  Pen pen_;
};

}  // namespace

std::string picture(const Harness& harness, const Layout& layout, const Look& look) {
  return Picture(harness, layout, look).draw();
}

Extent extent_of(const Harness& harness, const Layout& layout, const Look& look) {
  return Picture(harness, layout, look).extent();
}

}  // namespace lugwise
