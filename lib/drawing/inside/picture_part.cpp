#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "circuit/circuit.h"
#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
void Picture::draw_part(const PlacedPart& placed) {
  const Part& part = harness_[placed.part];
  const bool away = is_missing(placed.part);
  const bool aside = (look_.small || (look_.probes && !path_.open)) && !is_near(placed.part);
  const bool idle = part.kind == PartKind::Pickup && is_idle(placed.part);
  pen_.open("g", fmt::format("class=\"part\" data-part=\"{}\" data-kind=\"{}\"{}", escaped(part.name),
                             kind_name(part.kind),
                             away            ? " opacity=\"0.35\""
                             : aside || idle ? " opacity=\"0.4\""
                                             : ""));
  pen_.title(part_title(part));
  draw_body(placed, part, away);
  for (const Terminal& terminal : placed.terminals) draw_terminal(placed, terminal);
  for (const Feature& feature : placed.features) draw_feature(part, feature);
  if (!look_.small) {
    for (const Lettering& lettering : placed.lettering) write(lettering);
    write_place(placed, part);
  } else if (is_near(placed.part) && in_view(placed)) {
    write_small(placed, part);
  }
  pen_.close("g");
}

std::string_view Picture::kind_name(PartKind kind) {
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
    case PartKind::Inductor:
      return "inductor";
    case PartKind::Metal:
      return "metal";
    case PartKind::Battery:
      return "battery";
    default:
      return "module";
  }
}

std::string Picture::part_title(const Part& part) const {
  const std::string on = part.mounted ? " on " + harness_[*part.mounted].name : "";
  return fmt::format("{}, {}{}", part.name, kind_name(part.kind), on);
}

void Picture::draw_body(const PlacedPart& placed, const Part& part, bool away) {
  const std::string edge =
      away ? "class=\"outline\" stroke-dasharray=\"5 4\"" : std::string("class=\"outline\"");
  const std::string line = outlined(kBody, kInk, 1.5, edge), metal = outlined(kCase, kInk, 1.5, edge);
  if (placed.round) {
    pen_.box(placed.outline.back(), 3, line);
    const Box& round = placed.outline.front();
    pen_.circle({round.x + round.width / 2, round.y + round.height / 2}, round.width / 2, metal);
    return;
  }
  switch (part.kind) {
    case PartKind::Resistor:
    case PartKind::Capacitor:
    case PartKind::Inductor:
    case PartKind::Battery:
      break;  // the symbol is the part
    case PartKind::Metal:
      pen_.box(placed.outline.front(), 2, metal);
      break;
    case PartKind::Module:
      pen_.box(placed.outline.front(), 4, line);
      pen_.box({placed.outline.front().x + 3, placed.outline.front().y + 3, placed.outline.front().width - 6,
                placed.outline.front().height - 6},
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

void Picture::draw_terminal(const PlacedPart& placed, const Terminal& terminal) {
  const Part& part = harness_[placed.part];
  const std::string style = outlined(kMetal, kInk, 1.1);
  if (terminal.ring) return;
  if (terminal.sites.empty()) {
    if (harness_[terminal.point].role == PointRole::Plug)
      pen_.circle(terminal.at, 3.6, style);
    else
      pen_.circle(terminal.at, 1.8, filled(kInk));
    return;
  }
  if (part.kind == PartKind::Metal) return;
  std::vector<Spot> spots;
  for (const Foot& foot : terminal.sites) {
    if (!is_free_end(foot)) spots.push_back(at_cell(foot.at));
  }
  if (spots.empty()) spots.push_back(at_cell(terminal.sites.front().at));
  const Side out = terminal.sites.front().out;
  Box pad = around(spots, 3.6);
  if (part.kind == PartKind::Resistor || part.kind == PartKind::Capacitor ||
      part.kind == PartKind::Inductor || part.kind == PartKind::Battery) {
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
  if (is_unattached(placed, terminal))
    pen_.circle(spots.front(), 3, outlined(kWhite, kInk, 1.3, "class=\"free\""));
}

void Picture::draw_targets() {
  constexpr double kLeastReach = 6, kMostReach = 16;
  std::vector<const Terminal*> all;
  for (const PlacedPart& placed : layout_.parts) {
    for (const Terminal& terminal : placed.terminals) all.push_back(&terminal);
  }
  pen_.open("g", "class=\"points\" fill=\"none\" pointer-events=\"all\"");
  for (const Terminal* one : all) {
    double nearest = 2 * kMostReach;
    for (const Terminal* other : all) {
      if (other != one)
        nearest = std::min(nearest, std::hypot(one->at.x - other->at.x, one->at.y - other->at.y));
    }
    const std::string& name = harness_[one->point].name;
    pen_.open("g", fmt::format("data-point=\"{}\"", escaped(name)));
    pen_.title(name);
    pen_.circle(one->at, std::max(kLeastReach, nearest / 2), "class=\"target\"");
    pen_.close("g");
  }
  pen_.close("g");
}

bool Picture::is_unattached(const PlacedPart& placed, const Terminal& terminal) const {
  if (harness_[placed.part].kind != PartKind::Pickup || terminal.sites.empty() || is_missing(placed.part))
    return false;
  return std::none_of(layout_.strands.begin(), layout_.strands.end(), [&](const Strand& strand) {
    return std::any_of(terminal.sites.begin(), terminal.sites.end(), [&](const Foot& foot) {
      return strand.start.at == foot.at || strand.end.at == foot.at;
    });
  });
}

bool Picture::is_free_end(const Foot& foot) const {
  return std::any_of(layout_.strands.begin(), layout_.strands.end(), [&](const Strand& strand) {
    return (strand.free_start && strand.start.at == foot.at) || (strand.free_end && strand.end.at == foot.at);
  });
}

bool Picture::closed(const Element& contact, const Part& part) const {
  switch (contact.when) {
    case Conducts::InPositions:
      return std::find(contact.closed_in.begin(), contact.closed_in.end(), stands_.position(*contact.part)) !=
             contact.closed_in.end();
    case Conducts::PlugIn:
    case Conducts::PlugOut:
      return stands_.plugged(*contact.part) == (contact.when == Conducts::PlugIn);
    default:
      return part.kind == PartKind::Metal;
  }
}

void Picture::draw_feature(const Part& part, const Feature& feature) {
  const std::vector<Spot>& path = feature.path;
  const bool on = on_trail(feature.element) ||
                  (feature.kind == Feature::Kind::Line && feature.point && on_trail(*feature.point));
  if (on && feature.kind != Feature::Kind::Wiper) {
    pen_.path(way_through(path),
              stroke(kTrail, feature.kind == Feature::Kind::Line ? 6 : 10, "stroke-linecap=\"round\""));
  }
  const std::string of = feature.element ? fmt::format("data-element=\"{}\"", feature.element->index) : "";
  const std::string thin = stroke(kInk, 1.2, of);
  switch (feature.kind) {
    case Feature::Kind::Line:
      pen_.path(way_through(path), thin);
      break;
    case Feature::Kind::Coil:
      draw_coil(path, of);
      break;
    case Feature::Kind::Track:
      pen_.box({path[0].x, path[0].y - 3.5, path[1].x - path[0].x, 7}, 0, outlined(kWhite, kInk, 1.2, of));
      break;
    case Feature::Kind::Wiper:
      draw_wiper(part, path, of, on);
      break;
    case Feature::Kind::Contact:
      draw_contact(part, feature, of);
      break;
    case Feature::Kind::Joint:
      pen_.circle(path.front(), 2.6,
                  fmt::format("fill=\"{}\" data-joint=\"{}\"", kInk, feature.element->index));
      break;
    case Feature::Kind::Butt:
      pen_.line(path[0], path[1], stroke(kInk, 1.5, of));
      break;
    case Feature::Kind::Resistor:
    case Feature::Kind::Capacitor:
    case Feature::Kind::Cell:
      draw_symbol(feature, of);
      break;
  }
}

void Picture::draw_coil(const std::vector<Spot>& path, const std::string& of) {
  if (path[0].x == path[1].x) {  // standing
    const double top = std::min(path[0].y, path[1].y), low = std::max(path[0].y, path[1].y);
    const int humps = std::clamp(static_cast<int>((low - top - 16) / 8), 3, 6);
    const double r = std::min(4.5, (low - top - 8) / 2 / humps);
    std::string way =
        fmt::format("M{} {}V{}", number(path[0].x), number(top), number((top + low) / 2 - humps * r));
    for (int i = 0; i < humps; ++i)
      way += fmt::format("a{} {} 0 0 1 0 {}", number(r), number(r), number(2 * r));
    pen_.path(way + fmt::format("V{}", number(low)), stroke(kInk, 1.4, of));
    return;
  }
  const double from = std::min(path[0].x, path[1].x), to = std::max(path[0].x, path[1].x);
  const double y = path[0].y;
  const int humps = std::clamp(static_cast<int>((to - from - 16) / 8), 3, 6);
  const double r = std::min(4.5, (to - from - 8) / 2 / humps);
  const double start = (from + to) / 2 - humps * r;
  std::string way = fmt::format("M{} {}H{}", number(from), number(y), number(start));
  for (int i = 0; i < humps; ++i)
    way += fmt::format("a{} {} 0 0 1 {} 0", number(r), number(r), number(2 * r));
  way += fmt::format("H{}", number(to));
  pen_.path(way, stroke(kInk, 1.4, of));
}

void Picture::draw_wiper(const Part& part, const std::vector<Spot>& path, const std::string& of, bool on) {
  double share = 0.5;
  bool off_track = false;
  if (part.pot) {
    const PartId control = part.pot->gang ? *part.pot->gang : *harness_[part.pot->lug1].part;
    const double knob = stands_.knob(control);
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
  pen_.path(way_through(way), stroke(kInk, 1.2, of));
  pen_.path(fmt::format("M{} {}L{} {}L{} {}Z", number(x), number(tip), number(x - 2.6), number(tip + 4.4),
                        number(x + 2.6), number(tip + 4.4)),
            filled(kInk, "class=\"wiper\""));
}

void Picture::draw_contact(const Part& part, const Feature& feature, const std::string& of) {
  const Spot bar = feature.path[0], lug = feature.path[1];
  const Element& contact = harness_[*feature.element];
  const bool made = closed(contact, part);
  const double length = std::hypot(lug.x - bar.x, lug.y - bar.y);
  const Spot toward{(lug.x - bar.x) / length, (lug.y - bar.y) / length};
  if (made) {
    pen_.line(bar, {lug.x - toward.x * 2.4, lug.y - toward.y * 2.4},
              stroke(kInk, 2.6, "class=\"closed\" " + of));
    pen_.circle(lug, 2.6, filled(kInk));
  } else {
    const double rise = std::min(6.5, length * 0.45), back = std::min(4.5, length * 0.3);
    const Spot aside = bar.y == lug.y ? Spot{0, -rise} : Spot{rise, 0};
    const std::string open = "class=\"open\" " + of;
    pen_.line(bar, {lug.x - toward.x * back + aside.x, lug.y - toward.y * back + aside.y},
              stroke(kInk, 1.3, open));
    pen_.circle(lug, 2.4, outlined(kWhite, kInk, 1.1));
  }
  pen_.circle(bar, 1.5, filled(kInk));
}

void Picture::draw_symbol(const Feature& feature, const std::string& of) {
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
             0, outlined(kWhite, kInk, 1.4, of));
    return;
  }
  const bool cell = feature.kind == Feature::Kind::Cell;
  pen_.line(place(-half, -9), place(-half, 9), stroke(kInk, cell ? 1.4 : 2.4, of));
  pen_.line(place(half, cell ? -5 : -9), place(half, cell ? 5 : 9), stroke(kInk, cell ? 3.2 : 2.4));
}

void Picture::write_place(const PlacedPart& placed, const Part& part) {
  if (!placed.place) return;
  std::string text;
  if (part.kind == PartKind::Pot) {
    text = "at " + stands_.place_name(harness_, placed.part);
  } else if (part.kind == PartKind::Switch || part.kind == PartKind::Jack) {
    text = stands_.place_name(harness_, placed.part);
    if (part.kind == PartKind::Jack) text = "plug " + text;
  }
  Lettering lettering = *placed.place;
  lettering.text = shortened(text, lettering.size, 130, true);
  if (lettering.text != text) lettering.full = text;
  write(lettering, fmt::format("class=\"place\" fill=\"{}\"", kPlace));
  placed_texts_.push_back(lettering);
}

}  // namespace lugwise::drawing::inside
