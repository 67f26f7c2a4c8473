#include "page/inside/html_block.h"

#include <fmt/format.h>

#include <algorithm>

#include "page/inside/html_element.h"
#include "page/inside/wording.h"

namespace lugwise::page::inside {
namespace {

// Cells up to so many characters are not broken into lines.
constexpr std::size_t kWhole = 16;

// What is longer is no number to be read at a glance.
constexpr std::size_t kShort = 32;

}  // namespace

void BlockSetter::operator()(const Paragraph& paragraph) {
  line(element("p", paragraph.indent > 0 ? "class=\"soft\"" : "", paragraph.text));
}

void BlockSetter::operator()(const Facts& facts) {
  line("<dl class=\"facts\">");
  for (const Labelled& row : facts.rows) line(element("dt", "", row.label) + element("dd", "", row.text));
  line("</dl>");
}

void BlockSetter::operator()(const List& list) {
  line("<ul>");
  for (const List::Item& item : list.items) {
    std::string text = escaped(item.text);
    if (!item.more.empty()) text += signs(item.more);
    line("<li>" + text + "</li>");
  }
  line("</ul>");
}

void BlockSetter::operator()(const Blanks& blanks) { line(filled_in(blanks, "")); }

void BlockSetter::operator()(const Step& step) {
  if (!step.before.empty()) line(element("p", "class=\"before\"", step.before));
  const bool numbered = !step.number.empty();
  const bool drawn = !step.picture.svg.empty();
  const std::string id = numbered ? fmt::format(" id=\"step-{}\"", escaped(step.number)) : "";
  line(fmt::format("<div class=\"step{}\"{}>", drawn ? " drawn" : "", id));
  line(fmt::format("<div class=\"said{}\">", numbered ? "" : " plain"));
  if (numbered) {
    line(
        fmt::format("<h3 class=\"number\"><span class=\"hidden\">Step </span>{}</h3>", escaped(step.number)));
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

void BlockSetter::operator()(const Map& map) {
  line("<div class=\"whole\">");
  put_picture(map.picture);
  line("<ul class=\"key\">");
  for (const Labelled& place : map.places)
    line("<li>" + element("b", "", place.label) + " " + escaped(place.text) + "</li>");
  line("</ul>");
  line("</div>");
}

void BlockSetter::operator()(const Verdict& verdict) {
  const char* tone = verdict.tone == Tone::Good ? "good" : verdict.tone == Tone::Bad ? "bad" : "unsure";
  line(fmt::format("<div class=\"verdict {}\">", tone));
  line(element("p", "", verdict.text));
  if (!verdict.advice.empty()) line(element("p", "", verdict.advice));
  line("</div>");
}

void BlockSetter::operator()(const Group& group) {
  line("<div class=\"group\">");
  line(fmt::format("<h3>{} <span class=\"share\">{}</span></h3>", escaped(group.name), escaped(group.share)));
  line("<ul>");
  for (const Labelled& suspect : group.suspects) {
    line("<li>" + element("span", "class=\"share\"", suspect.label) + " " + escaped(suspect.text) + "</li>");
  }
  line("</ul>");
  if (!group.evidence.empty()) line(element("p", "class=\"soft\"", group.evidence));
  put_picture(group.picture);
  line("</div>");
}

void BlockSetter::operator()(const Table& table) {
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

void BlockSetter::operator()(const Verbatim& verbatim) {
  std::string text;
  std::string_view rest(verbatim.text);
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    text += escaped(rest.substr(0, end)) + '\n';
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  line("<pre>" + text + "</pre>");
}

void BlockSetter::operator()(const Picture& picture) { put_picture(picture); }

void BlockSetter::put_picture(const Picture& picture) {
  if (picture.svg.empty()) return;
  line("<figure>");
  line(picture.svg);
  if (!picture.caption.empty()) line(element("figcaption", "", picture.caption));
  line("</figure>");
}

}  // namespace lugwise::page::inside
