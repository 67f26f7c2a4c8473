#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kCasing = 7.6;  // of what a wire interrupts that it crosses

}  // namespace

void Picture::draw_trail() {
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

bool Picture::lead_on_trail(const Strand& strand) const {
  return std::any_of(layout_.marks.begin(), layout_.marks.end(), [&](const Mark& mark) {
    return mark.lead == strand.from && mark.surface == strand.to && on_trail(mark.element);
  });
}

Live Picture::live_of(const Strand& strand) const {
  if (live_.empty()) return Live::Through;
  return live_[strand.from.index];
}

void Picture::draw_live() {
  if (live_.empty()) return;
  pen_.open("g", "class=\"live\"");
  for (std::size_t i = 0; i < layout_.strands.size(); ++i) {
    if (is_missing(layout_.strands[i]) || ways_[i].empty()) continue;
    const Live live = live_of(layout_.strands[i]);
    if (live == Live::Hot || live == Live::Both)
      pen_.path(way_through(ways_[i], 4), stroke(kHot, 10, "data-live=\"hot\""));
    if (live == Live::Ground || live == Live::Both)
      pen_.path(way_through(ways_[i], 4),
                stroke(kGround, 10, std::string(kGroundDashes) + " data-live=\"ground\""));
  }
  pen_.close("g");
}

void Picture::draw_strand(std::size_t index) {
  const Strand& strand = layout_.strands[index];
  const std::vector<Spot>& spots = ways_[index];
  if (is_missing(strand)) return;
  const bool aside = (look_.small || (look_.probes && !path_.open)) && !strand_near(strand);
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
  pen_.title(strand_title(strand));
  if (strand.bent) {
    draw_bent_lug(spots);
  } else if (grounded_[index]) {
    draw_grounded(strand);
  } else if (spots.empty()) {
    draw_stubs(strand, index);
  } else {
    draw_wire(strand, way_through(spots, 4.5), crossings_of(index));
    if (strand.free_start) pen_.circle(spots.front(), 3, outlined(kWhite, kInk, 1.3));
    if (strand.free_end) pen_.circle(spots.back(), 3, outlined(kWhite, kInk, 1.3));
  }
  pen_.close("g");
}

// The lug's own metal, a strip up to the case.
void Picture::draw_bent_lug(const std::vector<Spot>& spots) {
  const Spot low = spots.front(), top = spots.back();
  const Box strip{low.x - 3.4, top.y - 3.4, 6.8, low.y - top.y + 3.4};
  pen_.box(strip, 2.4, outlined(kMetal, kInk, 1.1, "class=\"bent\""));
}

void Picture::draw_stubs(const Strand& strand, std::size_t index) {
  for (const Foot& foot : {strand.start, strand.end}) {
    const Spot at = at_cell(foot.at), out = outward(foot, 1.3);
    draw_wire(strand, way_through({at, out}), "");
    pen_.circle(out, 6, outlined(kWhite, kInk, 1));
    Lettering tag;
    tag.text = std::to_string(index + 1);
    tag.at = {out.x, out.y + 2.6};
    tag.size = 7.5;
    write(tag);
  }
}

std::string Picture::crossings_of(std::size_t index) const {
  constexpr double kReach = 7;
  std::string way;
  const std::vector<Spot>& own = ways_[index];
  for (std::size_t i = 1; i < own.size(); ++i) {
    const bool across = own[i].y == own[i - 1].y;
    const auto [left, right] = std::minmax(own[i].x, own[i - 1].x);
    const auto [top, low] = std::minmax(own[i].y, own[i - 1].y);
    for (std::size_t other = 0; other < index; ++other) {
      const std::vector<Spot>& path = ways_[other];
      for (std::size_t k = 1; k < path.size(); ++k) {
        if ((path[k].y == path[k - 1].y) == across) continue;
        const auto [x1, x2] = std::minmax(path[k].x, path[k - 1].x);
        const auto [y1, y2] = std::minmax(path[k].y, path[k - 1].y);
        if (!(x1 <= right && left <= x2 && y1 <= low && top <= y2)) continue;
        const Spot at = across ? Spot{x1, top} : Spot{left, y1};
        way += across ? fmt::format("M{} {}H{}", number(std::max(left, at.x - kReach)), number(at.y),
                                    number(std::min(right, at.x + kReach)))
                      : fmt::format("M{} {}V{}", number(at.x), number(std::max(top, at.y - kReach)),
                                    number(std::min(low, at.y + kReach)));
      }
    }
  }
  return way;
}

void Picture::find_grounded() {
  constexpr double kLong = 140;  // units: a shorter wire is less ink than two symbols
  // What hangs together by wires, leads, touches and metal, whatever the controls do.
  std::vector<std::size_t> root(harness_.points().size());
  for (std::size_t i = 0; i < root.size(); ++i) root[i] = i;
  const auto find = [&](PointId point) {
    std::size_t at = harness_[point].on ? harness_[point].on->index : point.index;
    while (root[at] != at) at = root[at] = root[root[at]];
    return at;
  };
  for (const Strand& strand : layout_.strands) root[find(strand.from)] = find(strand.to);
  std::optional<PointId> sleeve;
  for (std::uint32_t p = 0; p < harness_.parts().size(); ++p) {
    const Part& part = harness_[PartId{p}];
    for (std::size_t i = 1; part.kind == PartKind::Metal && i < part.points.size(); ++i)
      root[find(part.points[i])] = find(part.points[0]);
    if (part.kind == PartKind::Jack && !sleeve) sleeve = harness_.find_point(part.name + ".sleeve");
  }
  if (!sleeve) return;
  for (std::size_t i = 0; i < ways_.size(); ++i) {
    double length = 0;
    for (std::size_t k = 1; k < ways_[i].size(); ++k)
      length += std::hypot(ways_[i][k].x - ways_[i][k - 1].x, ways_[i][k].y - ways_[i][k - 1].y);
    const Strand& strand = layout_.strands[i];
    if (strand.kind == Strand::Kind::Touch || strand.bent || strand.free_start || strand.free_end) continue;
    if (length <= kLong || find(strand.from) != find(*sleeve)) continue;
    grounded_[i] = 1;
    ways_[i].clear();
  }
}

// IEC 60617, earth: a line and three shorter and shorter ones across it; from memory.
void Picture::draw_grounded(const Strand& strand) {
  for (const Foot& foot : {strand.start, strand.end}) {
    const Spot at = at_cell(foot.at), out = outward(foot, 1.1), more = outward(foot, 1.45),
               last = outward(foot, 1.8);
    const bool upright = foot.out == Side::Up || foot.out == Side::Down;
    const auto bar = [&](Spot middle, double half) {
      const Spot by = upright ? Spot{half, 0} : Spot{0, half};
      pen_.line({middle.x - by.x, middle.y - by.y}, {middle.x + by.x, middle.y + by.y}, stroke(kInk, 1.6));
    };
    draw_wire(strand, way_through({at, out}), "");
    bar(out, 7);
    bar(more, 4.6);
    bar(last, 2.2);
  }
}

Covering Picture::covering_of(const Strand& strand) const {
  using Kind = Covering::Kind;
  if (strand.wire) {
    const Wire& of = harness_[*strand.wire];
    const Paint paint = paint_of(of.colour);
    if (of.braid) return {Kind::Braid};
    if (of.uncut && !paint.known) return {Kind::Bare};
    return {paint.known ? Kind::Coloured : Kind::Uncoloured, paint};
  }
  const Part& part = harness_[*harness_[strand.from].part];
  if (part.kind == PartKind::Pot || part.kind == PartKind::Switch || part.kind == PartKind::Jack)
    return {Kind::Lug};
  if (part.kind != PartKind::Pickup) return {Kind::Pin};
  const std::string& name = harness_[strand.from].name;
  const std::string own = name.substr(name.find('.') + 1);
  if (own == "braid" || own == "shield") return {Kind::Braid};
  if (own == "bare") return {Kind::Bare};
  const Paint paint = paint_of(own);
  return {paint.known ? Kind::Coloured : Kind::Uncoloured, {paint.base, "", paint.known}};
}

void draw_covering(Pen& pen, std::string_view way, const Covering& covering, std::string_view clear,
                   std::string_view more) {
  using Kind = Covering::Kind;
  const auto wire = [&](double width, std::string_view colour, double inner) {
    if (!clear.empty()) pen.path(clear, stroke(kWhite, kCasing));
    pen.path(way, stroke(kInk, width, more));
    pen.path(way, stroke(colour, inner));
  };
  switch (covering.kind) {
    case Kind::Braid:
      wire(5.8, kBraid, 4.2);
      pen.path(way, stroke(kInk, 4.2, "stroke-dasharray=\"1 2.6\""));
      break;
    case Kind::Bare:
      wire(3.4, kBareWire, 1.6);
      break;
    case Kind::Lug:
      wire(4.4, kMetal, 2.6);  // the lug itself, bent over
      break;
    case Kind::Pin:
      wire(3.0, kBraid, 1.4);
      break;
    case Kind::Coloured:
    case Kind::Uncoloured:
      wire(4.4, covering.paint.base, 2.6);
      if (!covering.paint.stripe.empty())
        pen.path(way, stroke(covering.paint.stripe, 2.6, "stroke-dasharray=\"4 5\""));
      break;
  }
}

void Picture::draw_wire(const Strand& strand, const std::string& way, const std::string& clear) {
  if (strand.kind != Strand::Kind::Touch) {
    draw_covering(pen_, way, covering_of(strand), clear, "class=\"run\"");
    return;
  }
  if (!clear.empty()) pen_.path(clear, stroke(kWhite, kCasing));
  pen_.path(way, stroke(kInk, 2.2, "stroke-dasharray=\"0.1 4.4\" stroke-linecap=\"round\" class=\"run\""));
}

void Picture::draw_joints() {
  for (const Pool& pool : layout_.pools) {
    pen_.open("g", fmt::format("class=\"blob\" data-element=\"{}\"", pool.grip.index));
    const std::string way = way_through(pool.spots);
    pen_.path(way, stroke(kInk, 10.6, "stroke-linecap=\"round\" stroke-linejoin=\"round\""));
    pen_.path(way, stroke(on_trail(pool.grip) ? kTrail : kSolder, 8.4,
                          "stroke-linecap=\"round\" stroke-linejoin=\"round\""));
    pen_.close("g");
  }
  for (const Mark& mark : layout_.marks) {
    if (is_missing(mark.surface) || is_missing(mark.lead)) continue;
    const std::string of =
        fmt::format("data-joint=\"{}\" data-surface=\"{}\" data-lead=\"{}\"", mark.element.index,
                    escaped(harness_[mark.surface].name), escaped(harness_[mark.lead].name));
    const std::string hollow = outlined(kWhite, kInk, 1.7, of);
    switch (mark.kind) {
      case Mark::Kind::Solder:
        pen_.circle(mark.at, 3.2, outlined(kInk, kWhite, 0.6, of));
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

}  // namespace lugwise::drawing::inside
