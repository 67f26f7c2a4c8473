#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kLegendSize = 10.5;
constexpr Spot kMiddle{13, 0};  // of a swatch

// What `draw` does with a pen.
template <class Draw>
std::string swatch(const Draw& draw) {
  Pen pen;
  draw(pen);
  return pen.take();
}

std::string dot(double radius, const std::string& look) {
  return swatch([&](Pen& pen) { pen.circle(kMiddle, radius, look); });
}

// A letter or number in a circle.
std::string badge(const std::string& sign, std::string_view colour) {
  return swatch([&](Pen& pen) {
    pen.circle(kMiddle, 7, filled(colour));
    pen.words({13, 3.4}, sign,
              filled(kWhite, "font-size=\"9.5\" font-weight=\"bold\" text-anchor=\"middle\""));
  });
}

// A piece of wire, on a band of some colour.
std::string wire(Covering::Kind kind, std::string_view band = {}, std::string_view dashes = {}) {
  return swatch([&](Pen& pen) {
    if (!band.empty()) pen.path("M1 0H25", stroke(band, 10, dashes));
    draw_covering(pen, "M1 0H25", {kind});
  });
}

}  // namespace

void Picture::explain_joints(Legend& legend) const {
  const auto has_mark = [&](Mark::Kind kind) {
    return std::any_of(layout_.marks.begin(), layout_.marks.end(),
                       [&](const Mark& mark) { return mark.kind == kind; });
  };
  const std::string hollow = outlined(kWhite, kInk, 1.7);
  if (has_mark(Mark::Kind::Solder)) legend.push_back({dot(3.2, filled(kInk)), "soldered joint"});
  if (!layout_.pools.empty()) {
    legend.push_back({swatch([](Pen& pen) {
                        pen.path("M8 0H18", stroke(kInk, 10.6, "stroke-linecap=\"round\""));
                        pen.path("M8 0H18", stroke(kSolder, 8.4, "stroke-linecap=\"round\""));
                        for (double x : {8.0, 18.0}) pen.circle({x, 0}, 3.2, filled(kInk));
                      }),
                      "leads in one blob"});
  }
  if (has_mark(Mark::Kind::Pressed))
    legend.push_back({swatch([&](Pen& pen) {
                        pen.box({9.4, -3.6, 7.2, 7.2}, 0, hollow);
                      }),
                      "pressed or screwed"});
  if (has_mark(Mark::Kind::Touch)) {
    legend.push_back({swatch([&](Pen& pen) {
                        pen.path("M0 0H26", stroke(kInk, 2.2,
                                                   "stroke-dasharray=\"0.1 4.4\" "
                                                   "stroke-linecap=\"round\""));
                        pen.path("M21 -4.6l4.6 4.6l-4.6 4.6l-4.6 -4.6Z", hollow);
                      }),
                      "touch, no solder"});
  }
  const auto open_end = [](const Strand& strand) { return strand.free_start || strand.free_end; };
  const auto unattached = [&](const PlacedPart& placed) {
    return std::any_of(placed.terminals.begin(), placed.terminals.end(),
                       [&](const Terminal& terminal) { return is_unattached(placed, terminal); });
  };
  if (std::any_of(layout_.strands.begin(), layout_.strands.end(), open_end) ||
      std::any_of(layout_.parts.begin(), layout_.parts.end(), unattached))
    legend.push_back({dot(3, outlined(kWhite, kInk, 1.3)), "lead or end left free"});
}

void Picture::explain_wires(Legend& legend) const {
  using Kind = Covering::Kind;
  const auto any = [&](Kind kind, bool leads_too) {
    return std::any_of(layout_.strands.begin(), layout_.strands.end(), [&](const Strand& strand) {
      if (strand.kind == Strand::Kind::Touch || (!leads_too && !strand.wire)) return false;
      return covering_of(strand).kind == kind;
    });
  };
  if (any(Kind::Uncoloured, false)) legend.push_back({wire(Kind::Uncoloured), "wire, no colour given"});
  if (any(Kind::Bare, true)) legend.push_back({wire(Kind::Bare), "bare wire"});
  if (any(Kind::Braid, true)) legend.push_back({wire(Kind::Braid), "braid or shield"});
  const auto screened = [](const PlacedPart& part) { return part.screen.has_value(); };
  if (std::any_of(layout_.parts.begin(), layout_.parts.end(), screened)) {
    legend.push_back({swatch([](Pen& pen) {
                        pen.box({2, -5, 22, 10}, 3, stroke(kInk, 1, "stroke-dasharray=\"5 3\""));
                      }),
                      "a pickup's shield"});
  }
}

void Picture::explain_contacts(Legend& legend) const {
  bool any_closed = false, any_open = false;
  for (const PlacedPart& placed : layout_.parts) {
    for (const Feature& feature : placed.features) {
      if (feature.kind != Feature::Kind::Contact) continue;
      (closed(harness_[*feature.element], harness_[placed.part]) ? any_closed : any_open) = true;
    }
  }
  if (any_closed) {
    legend.push_back({swatch([](Pen& pen) {
                        pen.path("M3 0H21", stroke(kInk, 2.6));
                        pen.circle({22, 0}, 2.6, filled(kInk));
                      }),
                      "closed contact"});
  }
  if (any_open) {
    legend.push_back({swatch([](Pen& pen) {
                        pen.path("M3 0L17 -6", stroke(kInk, 1.3));
                        pen.circle({22, 0}, 2.4, outlined(kWhite, kInk, 1.1));
                      }),
                      "open contact"});
  }
}

void Picture::explain_setting(Legend& legend) const {
  if (std::find(grounded_.begin(), grounded_.end(), 1) != grounded_.end()) {
    const std::string symbol =
        swatch([](Pen& pen) { pen.path("M13 -8V-2M6 -2H20M8.5 1.5H17.5M11 5H15", stroke(kInk, 1.6)); });
    legend.push_back({symbol, "joined to ground by a wire"});
    for (const std::string& name : unseen_) legend.push_back({symbol, name});
  }
  if (live_.empty()) return;
  const auto has = [&](Live live) {
    return std::any_of(layout_.strands.begin(), layout_.strands.end(),
                       [&](const Strand& strand) { return !is_missing(strand) && live_of(strand) == live; });
  };
  const Covering::Kind plain = Covering::Kind::Uncoloured;
  if (has(Live::Hot) || has(Live::Both)) legend.push_back({wire(plain, kHot), "hot: metal to the tip"});
  if (has(Live::Ground) || has(Live::Both))
    legend.push_back({wire(plain, kGround, kGroundDashes), "ground: metal to the sleeve"});
  if (has(Live::Through)) legend.push_back({wire(plain), "no band: through a part only"});
  if (has(Live::Dead)) {
    Pen faint;
    faint.open("g", "opacity=\"0.4\"");
    faint.add(wire(plain));
    faint.close("g");
    legend.push_back({faint.take(), "faint: leads nowhere"});
  }
}

void Picture::explain_probes(Legend& legend) const {
  if (!look_.probes) return;
  legend.push_back({badge("A", kProbeA), harness_[look_.probes->first].name});
  legend.push_back({badge("B", kProbeB), harness_[look_.probes->second].name});
  if (path_.open) {
    legend.push_back({"", "no way between the probes in this setting"});
    return;
  }
  legend.push_back(
      {swatch([](Pen& pen) { pen.path("M3 0H23", stroke(kTrail, 10, "stroke-linecap=\"round\"")); }),
       "the current's way"});
}

void Picture::explain_stage(Legend& legend) const {
  if (missing_.empty()) return;
  legend.push_back({swatch([](Pen& pen) {
                      pen.box({4, -5, 18, 10}, 0, stroke(kFaint, 1, "stroke-dasharray=\"4 3\""));
                    }),
                    fmt::format("not there at stage {}", harness_.stages()[*look_.stage].name)});
}

void Picture::explain_numbers(Legend& legend) const {
  for (const auto& [tag, label] : keyed_) {
    Pen pen;
    pen.circle(kMiddle, 6.2, outlined(kWhite, kInk, 1));
    pen.words({13, 2.9}, tag, "font-size=\"8.5\" text-anchor=\"middle\"");
    legend.push_back({pen.take(), label});
  }
  for (std::size_t i = 0; i < look_.marked.size(); ++i)
    legend.push_back({badge(std::to_string(i + 1), kSuspect), in_words(harness_, look_.marked[i])});
}

Picture::Legend Picture::legend() const {
  Legend legend;
  if (!look_.within) {
    explain_joints(legend);
    explain_wires(legend);
    explain_contacts(legend);
    explain_setting(legend);
    explain_probes(legend);
    explain_stage(legend);
  }
  explain_numbers(legend);
  explain_changes(legend);
  return legend;
}

double Picture::write_legend(Pen& page, double y, double width) const {
  constexpr double kSwatch = 34;  // the room of one
  const Legend entries = legend();
  const double whole = width - 2 * kPad;
  double column = 120;
  for (const LegendEntry& entry : entries) {
    const double wide = kSwatch + text_width(entry.text, kLegendSize) + 14;
    if (wide <= whole / 2) column = std::max(column, wide);
  }
  const int columns = std::max(1, static_cast<int>(whole / column));
  column = whole / columns;
  page.open("g", "class=\"legend\"");
  int at = 0;
  for (const LegendEntry& entry : entries) {
    const double needs = kSwatch + text_width(entry.text, kLegendSize);
    const int spans = std::clamp(static_cast<int>(std::ceil((needs + 6) / column)), 1, columns);
    if (at + spans > columns) {
      at = 0;
      y += 18;
    }
    const double x = kPad + at * column;
    if (!entry.swatch.empty()) {
      page.open("g", moved_by(x, y));
      page.add(entry.swatch);
      page.close("g");
    }
    const double room = spans == columns ? whole - kSwatch : spans * column - 36;
    const auto lines = wrapped(entry.text, kLegendSize, room, 3);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i > 0) y += 13;
      Lettering line = line_of(lines[i], {x + kSwatch, y + 3.7}, kLegendSize);
      if (lines[i].ends_with("…")) line.full = entry.text;
      page.text(line);
    }
    at += spans;
    if (at >= columns) {
      at = 0;
      y += 18;
    }
  }
  if (at > 0) y += 18;
  page.close("g");
  return y;
}

}  // namespace lugwise::drawing::inside
