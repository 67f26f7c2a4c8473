// Foreign text made safe to show: names from files and from the command line, whatever they hold.
//
// Nothing that comes out of here moves a cursor, begins a line, turns the direction of writing or is taken for markup.
#pragma once

#include <string>
#include <string_view>

namespace lugwise::text {

// Whether a character shows nothing of itself and does something instead: the control characters, those that turn the
// direction of writing or part lines and paragraphs, and what is no character at all.
bool is_unseen(char32_t character);

// In one line, for a terminal or a plain text: a tab or a line break is a space, each other unseen character or stray byte a
// question mark.
std::string in_one_line(std::string_view foreign);

// Several lines of our own with foreign text in them: the same, but line breaks and tabs stay. With Colours::Kept so
// do the sequences that set a colour.
enum class Colours { None, Kept };
std::string in_lines(std::string_view text, Colours colours = Colours::None);

// For HTML, XML and SVG, between tags and in attributes.
std::string in_markup(std::string_view foreign);

// For one line of Markdown, also as it is read by sites that make links, mentions, issue numbers and formulas of bare text.
std::string in_markdown(std::string_view foreign);

// For the language of manual pages.
std::string in_roff(std::string_view foreign);

// As one word for a shell, between quotes where it needs any.
std::string in_shell(std::string_view word);

}  // namespace lugwise::text
