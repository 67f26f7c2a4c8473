#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "drawing/inside/palette.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

constexpr double kPad = 14;  // around everything
constexpr double kTitleSize = 16, kAboutSize = 11.5, kLegendSize = 10.5;

Lettering line_of(const std::string& text, Spot at, double size) {
  Lettering line;
  line.text = text;
  line.at = at;
  line.size = size;
  line.from = Lettering::From::Start;
  return line;
}

// A piece of wire as the legend shows it.
std::string piece(double width, const char* colour, double inner, bool ticks) {
  return fmt::format(
      "<path d=\"M1 0H25\" stroke=\"{}\" stroke-width=\"{}\"/><path d=\"M1 0H25\" stroke=\"{}\" "
      "stroke-width=\"{}\"/>{}",
      kInk, number(width), colour, number(inner),
      ticks ? fmt::format(
                  "<path d=\"M1 0H25\" stroke=\"{}\" stroke-width=\"4.2\" stroke-dasharray=\"1 2.6\"/>", kInk)
            : "");
}

}  // namespace

std::string Picture::description() const {
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

std::string Picture::svg(const Box& view, double width, double height, const std::string& inside_it) const {
  const std::string id = look_.id_prefix;
  return fmt::format(
             "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\" width=\"{}\" height=\"{}\" "
             "role=\"img\" "
             "aria-labelledby=\"{}title {}desc\" font-family=\"Arial, Helvetica, 'Liberation Sans', "
             "sans-serif\" fill=\"{}\">\n"
             "<title id=\"{}title\">{}</title>\n<desc id=\"{}desc\">{}</desc>\n",
             number(view.x), number(view.y), number(view.width), number(view.height), number(width),
             number(height), escaped(id), escaped(id), kInk, escaped(id), escaped(title_text()), escaped(id),
             escaped(description())) +
         inside_it + "</svg>\n";
}

void Picture::explain_joints(std::vector<Entry>& entries) const {
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
  const auto open_end = [](const Strand& strand) { return strand.free_start || strand.free_end; };
  const auto unattached = [&](const PlacedPart& placed) {
    return std::any_of(placed.terminals.begin(), placed.terminals.end(),
                       [&](const Terminal& terminal) { return is_unattached(placed, terminal); });
  };
  if (std::any_of(layout_.strands.begin(), layout_.strands.end(), open_end) ||
      std::any_of(layout_.parts.begin(), layout_.parts.end(), unattached))
    add(fmt::format("<circle cx=\"13\" cy=\"0\" r=\"3\" fill=\"#fff\" stroke=\"{}\" stroke-width=\"1.3\"/>",
                    kInk),
        "lead or end left free");
}

void Picture::explain_wires(std::vector<Entry>& entries) const {
  const auto add = [&](std::string swatch, std::string text) {
    entries.push_back({std::move(swatch), std::move(text)});
  };
  bool plain = false, bare = false, braid = false;
  for (const Strand& strand : layout_.strands) {
    if (strand.wire) {
      const Wire& wire = harness_[*strand.wire];
      const bool coloured = paint_of(wire.colour).known;
      braid = braid || wire.braid;
      bare = bare || (wire.uncut && !coloured && !wire.braid);
      plain = plain || (!wire.uncut && !wire.braid && !coloured);
    }
    if (strand.kind == Strand::Kind::Lead && harness_[*harness_[strand.from].part].kind == PartKind::Pickup) {
      const std::string& name = harness_[strand.from].name;
      const std::string own = name.substr(name.find('.') + 1);
      braid = braid || own == "braid" || own == "shield";
      bare = bare || own == "bare";
    }
  }
  if (plain) add(piece(4.4, "#b4bcc4", 2.6, false), "wire, no colour given");
  if (bare) add(piece(3.4, "#e0ad7b", 1.6, false), "bare wire");
  if (braid) add(piece(5.8, "#e6e8ea", 4.2, true), "braid or shield");
  const auto screened = [](const PlacedPart& part) { return part.screen.has_value(); };
  if (std::any_of(layout_.parts.begin(), layout_.parts.end(), screened))
    add(fmt::format("<rect x=\"2\" y=\"-5\" width=\"22\" height=\"10\" rx=\"3\" fill=\"none\" stroke=\"{}\" "
                    "stroke-dasharray=\"5 3\"/>",
                    kInk),
        "a pickup's shield");
}

void Picture::explain_setting(std::vector<Entry>& entries) const {
  const auto add = [&](std::string swatch, std::string text) {
    entries.push_back({std::move(swatch), std::move(text)});
  };
  bool any_closed = false, any_open = false;
  for (const PlacedPart& placed : layout_.parts) {
    for (const Feature& feature : placed.features) {
      if (feature.kind != Feature::Kind::Contact) continue;
      (closed(harness_[*feature.element], harness_[placed.part]) ? any_closed : any_open) = true;
    }
  }
  if (any_closed)
    add(fmt::format("<path d=\"M3 0H21\" stroke=\"{}\" stroke-width=\"2.6\"/><circle cx=\"22\" cy=\"0\" "
                    "r=\"2.6\" fill=\"{}\"/>",
                    kInk, kInk),
        "closed contact");
  if (any_open)
    add(fmt::format("<path d=\"M3 0L17 -6\" stroke=\"{}\" stroke-width=\"1.3\"/><circle cx=\"22\" "
                    "cy=\"0\" r=\"2.4\" fill=\"#fff\" "
                    "stroke=\"{}\" stroke-width=\"1.1\"/>",
                    kInk, kInk),
        "open contact");
  if (std::find(grounded_.begin(), grounded_.end(), 1) != grounded_.end()) {
    const std::string symbol = fmt::format(
        "<path d=\"M13 -8V-2M6 -2H20M8.5 1.5H17.5M11 5H15\" fill=\"none\" stroke=\"{}\" "
        "stroke-width=\"1.6\"/>",
        kInk);
    add(symbol, "joined to ground by a wire");
    for (const std::string& name : unseen_) add(symbol, name);
  }
  if (!live_.empty()) {
    const auto has = [&](Live live) {
      for (const Strand& strand : layout_.strands) {
        if (!is_missing(strand) && live_of(strand) == live) return true;
      }
      return false;
    };
    if (has(Live::Hot) || has(Live::Both))
      add("<path d=\"M1 0H25\" stroke=\"#f2b48c\" stroke-width=\"10\"/>" + piece(4.4, "#b4bcc4", 2.6, false),
          "hot: metal to the tip");
    if (has(Live::Ground) || has(Live::Both))
      add("<path d=\"M1 0H25\" stroke=\"#9fbfdc\" stroke-width=\"10\" stroke-dasharray=\"2.5 2.5\"/>" +
              piece(4.4, "#b4bcc4", 2.6, false),
          "ground: metal to the sleeve");
    if (has(Live::Through)) add(piece(4.4, "#b4bcc4", 2.6, false), "no band: through a part only");
    if (has(Live::Dead))
      add("<g opacity=\"0.4\">" + piece(4.4, "#b4bcc4", 2.6, false) + "</g>", "faint: leads nowhere");
  }
}

void Picture::explain_probes(std::vector<Entry>& entries) const {
  const auto add = [&](std::string swatch, std::string text) {
    entries.push_back({std::move(swatch), std::move(text)});
  };
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
}

void Picture::explain_numbers(std::vector<Entry>& entries) const {
  const auto add = [&](std::string swatch, std::string text) {
    entries.push_back({std::move(swatch), std::move(text)});
  };
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
}

std::vector<Picture::Entry> Picture::legend() const {
  std::vector<Entry> entries;
  if (!look_.within) {
    explain_joints(entries);
    explain_wires(entries);
    explain_setting(entries);
    explain_probes(entries);
    if (!missing_.empty())
      entries.push_back(
          {"<rect x=\"4\" y=\"-5\" width=\"18\" height=\"10\" fill=\"none\" stroke=\"#8b9096\" "
           "stroke-dasharray=\"4 3\"/>",
           fmt::format("not there at stage {}", harness_.stages()[*look_.stage].name)});
  }
  explain_numbers(entries);
  explain_changes(entries);
  return entries;
}

double Picture::write_head(Pen& page, double y, double width) const {
  const std::string head = shortened(title_text(), kTitleSize, width - 2 * kPad, true);
  Lettering title = line_of(head, {kPad, y}, kTitleSize);
  title.bold = true;
  if (head != title_text()) title.full = title_text();
  page.text(title);
  if (harness_.about.empty()) return y;
  for (const std::string& text : wrapped(harness_.about, kAboutSize, width - 2 * kPad, 3)) {
    y += 15;
    page.text(line_of(text, {kPad, y}, kAboutSize));
  }
  return y;
}

double Picture::write_legend(Pen& page, double y, double width) const {
  constexpr double kSwatch = 34;  // the room of one
  const std::vector<Entry> entries = legend();
  const double whole = width - 2 * kPad;
  double column = 120;
  for (const Entry& entry : entries) {
    const double wide = kSwatch + text_width(entry.text, kLegendSize) + 14;
    if (wide <= whole / 2) column = std::max(column, wide);
  }
  const int columns = std::max(1, static_cast<int>(whole / column));
  column = whole / columns;
  page.open("g", "class=\"legend\"");
  int at = 0;
  for (const Entry& entry : entries) {
    const double needs = kSwatch + text_width(entry.text, kLegendSize);
    const int spans = std::clamp(static_cast<int>(std::ceil((needs + 6) / column)), 1, columns);
    if (at + spans > columns) {
      at = 0;
      y += 18;
    }
    const double x = kPad + at * column;
    if (!entry.swatch.empty()) {
      page.raw(fmt::format("<g transform=\"translate({} {})\">{}</g>\n", number(x), number(y), entry.swatch));
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

std::string Picture::framed() {
  const double width = std::max(kLeast, body_.width + 2 * kPad);
  const double shift = (width - body_.width) / 2;
  Pen page;
  double y = look_.within ? -8 : write_head(page, kPad + 14, width);
  y += 12;
  const double top = y;
  y += body_.height + (look_.within ? 4 : 14);
  if (!look_.within) page.line({kPad, y - 6}, {width - kPad, y - 6}, stroke("#c9ccd0", 1));
  y = write_legend(page, y + 10, width);
  extent_ = {width, y + 2};
  std::string inside_it =
      "<rect width=\"" + number(width) + "\" height=\"" + number(extent_.height) + "\" fill=\"#fff\"/>\n";
  inside_it +=
      fmt::format("<g transform=\"translate({} {})\">\n", number(shift - body_.x), number(top - body_.y)) +
      pen_.take() + "</g>\n";
  inside_it += page.take();
  return svg({0, 0, width, extent_.height}, width, extent_.height, inside_it);
}

std::string Picture::framed_small() {
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

std::string Picture::nothing() const {
  Lettering lettering;
  lettering.text = "Too large to be drawn.";
  lettering.at = {kPad, 35};
  lettering.from = Lettering::From::Start;
  Pen page;
  page.text(lettering);
  return svg({0, 0, kLeast, 60}, kLeast, 60, page.take());
}

}  // namespace lugwise::drawing::inside
