#include "page/html.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <variant>

#include "page/inside/html_block.h"
#include "page/inside/html_element.h"
#include "page/inside/script.h"
#include "page/inside/style.h"
#include "page/inside/wording.h"

namespace lugwise::page {

using namespace inside;
namespace {

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

bool has_leaf(const Document& document) {
  return std::any_of(document.sections.begin(), document.sections.end(),
                     [](const Section& section) { return section.leaf; });
}

// `typed`: something of it is typed into and kept by the script.
void write_head(BlockSetter& set, const std::string& title, const std::string& program, bool typed,
                bool leaves) {
  set.line("<!DOCTYPE html>");
  set.line("<html lang=\"en\">");
  set.line("<head>");
  set.line("<meta charset=\"utf-8\">");
  // Whatever a name might smuggle in, nothing is loaded and no script runs but our own.
  set.line(
      fmt::format("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
                  "'unsafe-inline'{}; base-uri 'none'; form-action 'none'\">",
                  typed ? fmt::format("; script-src 'sha256-{}'", script_hash()) : ""));
  set.line("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">");
  set.line(fmt::format("<meta name=\"generator\" content=\"{}\">", escaped(program)));
  set.line("<title>" + title + "</title>");
  set.line("<style>" + std::string(style_sheet()) + std::string(leaves ? leaf_style() : "") + "</style>");
  set.line("</head>");
}

void write_section(BlockSetter& set, const Section& section) {
  set.line(section.caution ? "<section class=\"caution\">"
           : section.close ? "<section class=\"close\">"
           : section.leaf  ? "<section class=\"leaf\">"
           : section.fills ? "<section class=\"fills\">"
                           : "<section>");
  if (!section.title.empty()) set.line(element("h2", "", without_colon(section.title)));
  for (const Block& block : section.blocks) std::visit(set, block);
  set.line("</section>");
}

}  // namespace

std::string as_html(const Document& document, const std::string& program) {
  const std::string title = escaped(without_colon(document.title));
  const bool typed = has_checklist(document);
  BlockSetter set;
  write_head(set, title, program, typed, has_leaf(document));
  set.line(document.single    ? "<body class=\"compact single\">"
           : document.compact ? "<body class=\"compact\">"
                              : "<body>");
  // A table is what browsers repeat the head and foot of on every printed page; on a screen it is none.
  set.line("<table class=\"sheet\" role=\"presentation\">");
  set.line("<thead><tr><td><div class=\"running\" aria-hidden=\"true\">" + title +
           "</div></td></tr></thead>");
  set.line("<tfoot><tr><td><div class=\"running\">" + escaped(document.mark) + "</div></td></tr></tfoot>");
  set.line("<tbody><tr><td>");
  set.line("<main>");
  set.line("<h1>" + title + "</h1>");
  if (!document.job.empty()) {
    set.line("<div class=\"job\">");
    for (const std::string& field : document.job) set.line(labelled_input(field, ""));
    set.line("</div>");
    set.line(
        typed ? kKeeping
              : "<p class=\"soft screen\">What you write here stays only while this page is open: print it "
                "to keep it.</p>");
  }
  for (const Block& block : document.opening) std::visit(set, block);
  for (const Section& section : document.sections) write_section(set, section);
  set.line("</main>");
  set.line("</td></tr></tbody>");
  set.line("</table>");
  if (typed) set.line("<script>" + std::string(script()) + "</script>");
  set.line("</body>");
  set.line("</html>");
  return set.take();
}

}  // namespace lugwise::page
