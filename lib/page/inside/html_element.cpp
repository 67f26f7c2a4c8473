#include "page/inside/html_element.h"

#include <fmt/format.h>

#include <algorithm>

#include "text/safe.h"

namespace lugwise::page::inside {

std::string escaped(std::string_view text) { return lugwise::text::in_markup(text); }

std::string element(std::string_view name, std::string_view attributes, std::string_view text) {
  return fmt::format("<{}{}{}>{}</{}>", name, attributes.empty() ? "" : " ", attributes, escaped(text), name);
}

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

std::string signs(const std::vector<Labelled>& signs) {
  std::string text = "<ul class=\"signs\">";
  for (const Labelled& sign : signs) {
    text += "<li>" + element("b", "", sign.label + ":") + " " + escaped(sign.text) + "</li>";
  }
  return text + "</ul>";
}

std::string labelled_input(const std::string& label, const std::string& of) {
  return fmt::format(
      "<label class=\"field\"><span>{}{}</span><input type=\"text\" autocomplete=\"off\" "
      "spellcheck=\"false\"></label>",
      escaped(label), read_aloud(of));
}

std::string read_aloud(const std::string& of) {
  return of.empty() ? "" : element("span", "class=\"hidden\"", of);
}

std::string filled_in(const Blanks& blanks, const std::string& of) {
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

}  // namespace lugwise::page::inside
