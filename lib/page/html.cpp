#include "page/html.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <variant>

#include "page/inside/script.h"
#include "page/inside/style.h"
#include "page/inside/wording.h"
#include "text/safe.h"

namespace lugwise::page {

using namespace inside;
namespace {

std::string escaped(std::string_view text) { return lugwise::text::in_markup(text); }

std::string element(std::string_view name, std::string_view attributes, std::string_view text) {
  return fmt::format("<{}{}{}>{}</{}>", name, attributes.empty() ? "" : " ", attributes, escaped(text), name);
}

// A file's text, line ends and all.
std::string in_attribute(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    out += escaped(text.substr(0, end));
    if (end < text.size()) out += "&#10;";
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

// Shown by the script only: without it what is typed can't be kept but on paper.
constexpr const char* kKeeping =
    "<p class=\"soft screen\">What you write here stays only while this page is open: print it, or save it, "
    "to keep "
    "it.</p>\n"
    "<div class=\"keeping screen\" hidden>\n"
    "<button type=\"button\" id=\"save\">Save the readings</button>\n"
    "<label class=\"button\"><span>Open readings</span><input type=\"file\" id=\"open\" "
    "accept=\".yaml,.yml\"></label>\n"
    "<p id=\"kept\" role=\"status\"></p>\n"
    "</div>";

bool has_checklist(const Document& document) {
  for (const Section& section : document.sections) {
    for (const Block& block : section.blocks) {
      if (std::holds_alternative<Checklist>(block)) return true;
    }
  }
  return false;
}

// Cells up to so many characters are not broken into lines.
constexpr std::size_t kWhole = 16;

// What is longer is no number to be read at a glance.
constexpr std::size_t kShort = 32;

class Setter {
 public:
  void operator()(const Paragraph& paragraph) {
    line(element("p", paragraph.indent > 0 ? "class=\"soft\"" : "", paragraph.text));
  }

  void operator()(const Facts& facts) {
    line("<dl class=\"facts\">");
    for (const Labelled& row : facts.rows) line(element("dt", "", row.label) + element("dd", "", row.text));
    line("</dl>");
  }

  void operator()(const List& list) {
    line("<ul>");
    for (const List::Item& item : list.items) {
      std::string text = escaped(item.text);
      if (!item.more.empty()) text += signs(item.more);
      line("<li>" + text + "</li>");
    }
    line("</ul>");
  }

  void operator()(const Blanks& blanks) { line(filled_in(blanks, "")); }

  void operator()(const Step& step) {
    if (!step.before.empty()) line(element("p", "class=\"before\"", step.before));
    const bool numbered = !step.number.empty();
    const bool drawn = !step.picture.svg.empty();
    const std::string id = numbered ? fmt::format(" id=\"step-{}\"", escaped(step.number)) : "";
    line(fmt::format("<div class=\"step{}\"{}>", drawn ? " drawn" : "", id));
    line(fmt::format("<div class=\"said{}\">", numbered ? "" : " plain"));
    if (numbered) {
      line(fmt::format("<h3 class=\"number\"><span class=\"hidden\">Step </span>{}</h3>",
                       escaped(step.number)));
    }
    if (!numbered) put_picture(step.picture);
    line("<div>");
    for (const std::string& text : step.to_do) line(element("p", "", text));
    if (!step.shows.empty()) {
      const bool longer = width(step.shows) > kShort;
      line(fmt::format("<p class=\"shows\"><span>Range {}:</span> {}</p>", escaped(step.range),
                       element("b", longer ? "class=\"long\"" : "", step.shows)));
    }
    for (const std::string& note : step.notes) line(element("p", "class=\"notes\"", note));
    if (!step.signs.empty()) line(signs(step.signs));
    line("</div>");
    if (numbered) put_picture(step.picture);
    line("</div>");
    const std::string of = numbered ? " at step " + step.number : "";
    if (!step.blanks.fields.empty() || !step.blanks.boxes.empty()) line(filled_in(step.blanks, of));
    line("</div>");
  }

  void operator()(const Map& map) {
    line("<div class=\"whole\">");
    put_picture(map.picture);
    line("<ul class=\"key\">");
    for (const Labelled& place : map.places)
      line("<li>" + element("b", "", place.label) + " " + escaped(place.text) + "</li>");
    line("</ul>");
    line("</div>");
  }

  // Rows that share a setting stay together, under a line that says it.
  void operator()(const Checklist& checklist) {
    line(
        fmt::format("<table class=\"checklist\" data-head=\"{}\" data-file=\"{}\" data-over=\"{}\" "
                    "data-beeps=\"{:g}\">",
                    in_attribute(checklist.head), escaped(checklist.file), escaped(checklist.over),
                    checklist.beeps_below));
    line(
        "<thead><tr><th scope=\"col\">Step</th><th scope=\"col\">Probes</th><th scope=\"col\">Range</th>"
        "<th scope=\"col\">Right</th><th scope=\"col\">Reads</th><th scope=\"col\">Again</th></tr></thead>");
    bool open = false;
    for (const Checklist::Row& row : checklist.rows) {
      const bool begins = !row.heading.empty() || !row.step.before.empty();
      if (open && begins) line("</tbody>");
      if (!open || begins) line("<tbody>");
      open = true;
      if (!row.heading.empty())
        line(fmt::format("<tr class=\"cover\"><th colspan=\"6\">{}</th></tr>", escaped(row.heading)));
      if (!row.step.before.empty())
        line(fmt::format("<tr class=\"setting\"><th colspan=\"6\">{}</th></tr>", escaped(row.step.before)));
      put_row(row);
    }
    if (open) line("</tbody>");
    line("</table>");
  }

  void operator()(const Readings& readings) {
    const bool again = readings.again;
    line(again ? "<table class=\"readings again\">" : "<table class=\"readings\">");
    line(fmt::format(
        "<thead><tr><th scope=\"col\">No.</th><th scope=\"col\">Probes</th><th scope=\"col\">Reads</th>"
        "<th scope=\"col\">Sound</th><th scope=\"col\">Judged</th>{}</tr></thead>",
        again ? "<th scope=\"col\">Re-check</th>" : ""));
    line("<tbody>");
    for (const Readings::Reading& reading : readings.readings) {
      if (!reading.setting.empty()) {
        line(fmt::format("<tr class=\"setting\"><th colspan=\"{}\">{}</th></tr>", again ? 6 : 5,
                         escaped(reading.setting)));
      }
      std::string number = reading.number;
      std::string where = reading.where;
      if (reading.rows.empty()) {
        line("<tr>" + element("td", "", number) +
             fmt::format("<td colspan=\"{}\">{}</td></tr>", again ? 5 : 4, escaped(where)));
      }
      for (const Readings::Row& row : reading.rows) {
        if (!row.at.empty()) where = "at " + row.at;
        const std::string blank =
            !again       ? ""
            : row.agrees ? "<td></td>"
                         : fmt::format(
                               "<td class=\"fill\"><label class=\"blank\"><span "
                               "class=\"hidden\">Reading {} after the repair</span><input type=\"text\" "
                               "autocomplete=\"off\" spellcheck=\"false\"></label></td>",
                               escaped(reading.number));
        line("<tr>" + element("td", "", number) + element("td", "", where) +
             element("td", "data-of=\"reads\"", row.reads) + element("td", "data-of=\"sound\"", row.sound) +
             element("td", row.agrees ? "" : "class=\"bad\"", row.judged) + blank + "</tr>");
        number.clear();
        where.clear();
      }
    }
    line("</tbody>");
    line("</table>");
  }

  void operator()(const Verdict& verdict) {
    const char* tone = verdict.tone == Tone::Good ? "good" : verdict.tone == Tone::Bad ? "bad" : "unsure";
    line(fmt::format("<div class=\"verdict {}\">", tone));
    line(element("p", "", verdict.text));
    if (!verdict.advice.empty()) line(element("p", "", verdict.advice));
    line("</div>");
  }

  void operator()(const Group& group) {
    line("<div class=\"group\">");
    line(fmt::format("<h3>{} <span class=\"share\">{}</span></h3>", escaped(group.name),
                     escaped(group.share)));
    line("<ul>");
    for (const Labelled& suspect : group.suspects) {
      line("<li>" + element("span", "class=\"share\"", suspect.label) + " " + escaped(suspect.text) +
           "</li>");
    }
    line("</ul>");
    if (!group.evidence.empty()) line(element("p", "class=\"soft\"", group.evidence));
    put_picture(group.picture);
    line("</div>");
  }

  void operator()(const Table& table) {
    line("<table class=\"plain-table\">");
    bool titled = false;
    std::string titles;
    // A serial, a date and the like stay in one line.
    const auto stays_whole = [&](std::size_t i) {
      return i + 1 < table.columns.size() &&
             std::all_of(table.rows.begin(), table.rows.end(),
                         [&](const auto& row) { return i < row.size() && row[i].size() <= kWhole; });
    };
    std::vector<const char*> sides;
    for (std::size_t i = 0; i < table.columns.size(); ++i)
      sides.push_back(table.columns[i].to_the_right ? "class=\"number-cell\""
                      : stays_whole(i)              ? "class=\"whole-cell\""
                                                    : "");
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
      const std::string& title = table.columns[i].title;
      titled = titled || !title.empty();
      titles += element(title.empty() ? "td" : "th", sides[i], title);
    }
    if (titled) line("<thead><tr>" + titles + "</tr></thead>");
    line("<tbody>");
    for (const auto& row : table.rows) {
      std::string cells;
      for (std::size_t i = 0; i < row.size(); ++i) cells += element("td", sides[i], row[i]);
      line("<tr>" + cells + "</tr>");
    }
    line("</tbody>");
    line("</table>");
  }

  void operator()(const Verbatim& verbatim) {
    std::string text;
    std::string_view rest(verbatim.text);
    while (!rest.empty()) {
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      text += escaped(rest.substr(0, end)) + '\n';
      rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    line("<pre>" + text + "</pre>");
  }

  void operator()(const Picture& picture) { put_picture(picture); }

  void write(const Document& document, const std::string& program) {
    const std::string title = escaped(without_colon(document.title));
    line("<!DOCTYPE html>");
    line("<html lang=\"en\">");
    line("<head>");
    line("<meta charset=\"utf-8\">");
    // Whatever a name might smuggle in, nothing is loaded and no script runs but our own.
    const bool typed = has_checklist(document);
    line(
        fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                    "'unsafe-inline'{}; base-uri 'none'; form-action 'none'\">",
                    typed ? fmt::format("; script-src 'sha256-{}'", script_hash()) : ""));
    line("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">");
    line(fmt::format("<meta name=\"generator\" content=\"{}\">", escaped(program)));
    line("<title>" + title + "</title>");
    line("<style>" + std::string(style_sheet()) + "</style>");
    line("</head>");
    line(document.single    ? "<body class=\"compact single\">"
         : document.compact ? "<body class=\"compact\">"
                            : "<body>");
    // A table is what browsers repeat the head and foot of on every printed page; on a screen it is none.
    line("<table class=\"sheet\" role=\"presentation\">");
    line("<thead><tr><td><div class=\"running\" aria-hidden=\"true\">" + title + "</div></td></tr></thead>");
    line("<tfoot><tr><td><div class=\"running\">" + escaped(document.mark) + "</div></td></tr></tfoot>");
    line("<tbody><tr><td>");
    line("<main>");
    line("<h1>" + title + "</h1>");
    if (!document.job.empty()) {
      line("<div class=\"job\">");
      for (const std::string& field : document.job) line(labelled_input(field, ""));
      line("</div>");
      line(typed
               ? kKeeping
               : "<p class=\"soft screen\">What you write here stays only while this page is open: print it "
                 "to keep it.</p>");
    }
    for (const Block& block : document.opening) std::visit(*this, block);
    for (const Section& section : document.sections) {
      line(section.caution ? "<section class=\"caution\">"
           : section.close ? "<section class=\"close\">"
           : section.leaf  ? "<section class=\"leaf\">"
           : section.fills ? "<section class=\"fills\">"
                           : "<section>");
      if (!section.title.empty()) line(element("h2", "", without_colon(section.title)));
      for (const Block& block : section.blocks) std::visit(*this, block);
      line("</section>");
    }
    line("</main>");
    line("</td></tr></tbody>");
    line("</table>");
    if (typed) line("<script>" + std::string(script()) + "</script>");
    line("</body>");
    line("</html>");
  }

  std::string take() { return std::move(text_); }

 private:
  void line(std::string_view text) {
    text_.append(text);
    text_ += '\n';
  }

  void put_picture(const Picture& picture) {
    if (picture.svg.empty()) return;
    line("<figure>");
    line(picture.svg);
    if (!picture.caption.empty()) line(element("figcaption", "", picture.caption));
    line("</figure>");
  }

  void put_row(const Checklist::Row& row) {
    using Kind = Checklist::Kind;
    const Step& step = row.step;
    const std::string of = " at step " + step.number;
    const bool read = !step.shows.empty();
    const char* kind = row.kind == Kind::Reading   ? "reading"
                       : row.kind == Kind::Watched ? "watched"
                       : row.kind == Kind::Tips    ? "tips"
                                                   : "deed";
    std::string says;
    if (row.kind == Kind::Deed && !step.to_do.empty())
      says = fmt::format(" data-says=\"{}\"", escaped(step.to_do.front()));
    line(fmt::format("<tr class=\"step\" id=\"step-{0}\" data-kind=\"{1}\" data-step=\"{0}\"{2}>",
                     escaped(step.number), kind, says));
    line(element("th", "class=\"number\" scope=\"row\"", step.number));
    std::string where;
    for (const Labelled& place : row.places) {
      where += fmt::format("{}<span class=\"place\">{} {}</span>", where.empty() ? "" : " ",
                           element("b", "", place.label), escaped(place.text));
    }
    for (const std::string& text : step.to_do) where += (where.empty() ? "" : "<br>") + escaped(text);
    for (const std::string& note : step.notes) where += " " + element("p", "class=\"notes\"", note);
    line(read ? "<td>" + where + "</td>" : "<td colspan=\"3\">" + where + "</td>");
    if (read) {
      line(element("td", "class=\"range\"", step.range));
      line("<td class=\"right\">" + element("b", "", step.shows) +
           (row.between.empty() ? "" : " " + element("span", "", row.between)) + "</td>");
    }
    std::vector<std::string> cells;
    for (std::size_t i = 0; i < step.blanks.fields.size(); ++i) {
      std::string limits;
      if (i < row.limits.size())
        limits = fmt::format(" data-low=\"{}\" data-high=\"{}\"", escaped(row.limits[i].low),
                             escaped(row.limits[i].high));
      // The column says what it is for; where it is for something else, the blank itself does.
      const bool other = row.kind != Kind::Reading;
      cells.push_back(fmt::format(
          "<label class=\"blank\"><span{}>{}{}</span><input type=\"text\" "
          "autocomplete=\"off\" spellcheck=\"false\"{}></label>",
          other ? "" : " class=\"hidden\"", escaped(step.blanks.fields[i]), read_aloud(of), limits));
    }
    std::string ticks;
    for (const std::string& box : step.blanks.boxes) {
      ticks += fmt::format("<label><input type=\"checkbox\" data-says=\"{0}\"><span>{0}{1}</span></label>",
                           escaped(box), read_aloud(of));
    }
    const std::string judged = read ? "<span class=\"judged\" role=\"status\"></span>" : "";
    if (row.kind == Kind::Reading && cells.size() == 2) {
      line("<td class=\"fill\">" + cells[0] + "</td><td class=\"fill\">" + cells[1] + judged + "</td>");
    } else {
      std::string all;
      for (const std::string& cell : cells) all += cell;
      if (!all.empty()) all = "<div class=\"pair\">" + all + "</div>";
      if (!ticks.empty()) all += "<div class=\"ticks\">" + ticks + "</div>";
      line("<td class=\"fill\" colspan=\"2\">" + all + judged + "</td>");
    }
    line("</tr>");
  }

  static std::string signs(const std::vector<Labelled>& signs) {
    std::string text = "<ul class=\"signs\">";
    for (const Labelled& sign : signs) {
      text += "<li>" + element("b", "", sign.label + ":") + " " + escaped(sign.text) + "</li>";
    }
    return text + "</ul>";
  }

  // `of` is read aloud only: the same label stands at many steps.
  static std::string labelled_input(const std::string& label, const std::string& of) {
    return fmt::format(
        "<label class=\"field\"><span>{}{}</span><input type=\"text\" autocomplete=\"off\" "
        "spellcheck=\"false\"></label>",
        escaped(label), read_aloud(of));
  }

  static std::string read_aloud(const std::string& of) {
    return of.empty() ? "" : element("span", "class=\"hidden\"", of);
  }

  static std::string filled_in(const Blanks& blanks, const std::string& of) {
    std::string text = blanks.wide ? "<div class=\"blanks wide\">" : "<div class=\"blanks\">";
    for (const std::string& field : blanks.fields) {
      text += blanks.wide ? fmt::format("<label><span>{}</span><textarea rows=\"2\"></textarea></label>",
                                        escaped(field))
                          : labelled_input(field, of);
    }
    for (const std::string& box : blanks.boxes) {
      text += fmt::format("<label><input type=\"checkbox\"><span>{}{}</span></label>", escaped(box),
                          read_aloud(of));
    }
    return text + "</div>";
  }

  std::string text_;
};

}  // namespace

std::string as_html(const Document& document, const std::string& program) {
  Setter set;
  set.write(document, program);
  return set.take();
}

}  // namespace lugwise::page
