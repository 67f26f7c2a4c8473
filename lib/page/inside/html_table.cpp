#include <fmt/format.h>

#include "page/inside/html_block.h"
#include "page/inside/html_element.h"

namespace lugwise::page::inside {
namespace {

// The blanks of a row, each a cell or a part of one.
std::vector<std::string> blanks_of(const Checklist::Row& row, const std::string& of) {
  const Step& step = row.step;
  std::vector<std::string> cells;
  for (std::size_t i = 0; i < step.blanks.fields.size(); ++i) {
    std::string limits;
    if (i < row.limits.size())
      limits = fmt::format(" data-low=\"{}\" data-high=\"{}\"", escaped(row.limits[i].low),
                           escaped(row.limits[i].high));
    // The column says what it is for; where it is for something else, the blank itself does.
    const bool other = row.kind != Checklist::Kind::Reading;
    cells.push_back(fmt::format(
        "<label class=\"blank\"><span{}>{}{}</span><input type=\"text\" "
        "autocomplete=\"off\" spellcheck=\"false\"{}></label>",
        other ? "" : " class=\"hidden\"", escaped(step.blanks.fields[i]), read_aloud(of), limits));
  }
  return cells;
}

std::string ticks_of(const Step& step, const std::string& of) {
  std::string ticks;
  for (const std::string& box : step.blanks.boxes) {
    ticks += fmt::format("<label><input type=\"checkbox\" data-says=\"{0}\"><span>{0}{1}</span></label>",
                         escaped(box), read_aloud(of));
  }
  return ticks;
}

}  // namespace

void BlockSetter::operator()(const Checklist& checklist) {
  line(fmt::format(
      "<table class=\"checklist\" data-head=\"{}\" data-file=\"{}\" data-over=\"{}\" "
      "data-beeps=\"{:g}\">",
      in_attribute(checklist.head), escaped(checklist.file), escaped(checklist.over), checklist.beeps_below));
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

void BlockSetter::operator()(const Readings& readings) {
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

void BlockSetter::put_row(const Checklist::Row& row) {
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
  const std::vector<std::string> cells = blanks_of(row, of);
  const std::string ticks = ticks_of(step, of);
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

}  // namespace lugwise::page::inside
