#include "text/safe.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "text/character.h"

namespace lugwise::text {
namespace {

bool is_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0; }

// The bytes of a sequence that sets colours ("\033[1;31m") at the start of a text; 0 where there is none.
std::size_t colour_length(std::string_view text) {
  if (!text.starts_with("\033[")) return 0;
  const std::size_t end = text.find_first_not_of("0123456789;", 2);
  return end != std::string_view::npos && text[end] == 'm' ? end + 1 : 0;
}

// Each character that can be seen, and something for each other; `breaks` stay as they are.
std::string cleaned(std::string_view text, std::string_view breaks, Colours colours,
                    std::string_view unseen) {
  std::string clean;
  while (!text.empty()) {
    const std::size_t colour = colours == Colours::Kept ? colour_length(text) : 0;
    const std::size_t bytes = colour > 0 ? colour : character_length(text);
    const char first = text.front();
    if (colour > 0 || breaks.find(first) != std::string_view::npos) {
      clean += text.substr(0, bytes);
    } else if (first == '\t' || first == '\n' || first == '\r') {
      clean += ' ';
    } else if (const char32_t character = character_at(text); is_unseen(character)) {
      clean += unseen;
    } else {
      clean += text.substr(0, bytes);
    }
    text.remove_prefix(bytes);
  }
  return clean;
}

// What a site that shows Markdown makes a link, a mention, an issue's number or a formula of.
bool begins_reference(std::string_view text, std::size_t i) {
  const char c = text[i];
  if (c == '@' || c == '$') return true;
  if (c == '#') return i + 1 < text.size() && is_word(text[i + 1]);
  if (c == ':') return text.substr(i).starts_with("://");
  if (c == '.') {
    const std::string_view before = text.substr(0, i);
    return (before.ends_with("www") || before.ends_with("WWW")) && i + 1 < text.size() &&
           is_word(text[i + 1]);
  }
  return false;
}

}  // namespace

bool is_unseen(char32_t c) {
  const bool control = c < 0x20 || (c >= 0x7F && c < 0xA0);
  const bool turns = c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) ||
                     (c >= 0x2066 && c <= 0x2069);
  const bool parts = c == 0x2028 || c == 0x2029;
  const bool none = c == kNoCharacter || (c & 0xFFFE) == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF);
  const bool blank =
      c == 0x200B || c == 0x2060 || c == 0xFEFF || c == 0x00AD || (c >= 0xE0000 && c <= 0xE007F);
  return control || turns || parts || none || blank;
}

std::string in_one_line(std::string_view foreign) { return cleaned(foreign, "", Colours::None, "?"); }

std::string in_lines(std::string_view text, Colours colours) { return cleaned(text, "\n\t", colours, "?"); }

std::string in_markup(std::string_view foreign) {
  std::string made;
  for (const char c : cleaned(foreign, "", Colours::None, "\xEF\xBF\xBD")) {
    switch (c) {
      case '&':
        made += "&amp;";
        break;
      case '<':
        made += "&lt;";
        break;
      case '>':
        made += "&gt;";
        break;
      case '"':
        made += "&quot;";
        break;
      case '\'':
        made += "&#39;";
        break;
      default:
        made += c;
    }
  }
  return made;
}

std::string in_markdown(std::string_view foreign) {
  const std::string line = in_one_line(foreign);
  std::string out;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    const bool within = i > 0 && is_word(line[i - 1]) && i + 1 < line.size() && is_word(line[i + 1]);
    if (std::string_view("\\`*[]<|~&").find(c) != std::string_view::npos || (c == '_' && !within) ||
        begins_reference(line, i))
      out += '\\';
    out += c;
  }
  // What would begin a heading, a quotation, a list, a rule or a table.
  const std::size_t first = out.find_first_not_of(' ');
  if (first == std::string::npos) return "";
  out.erase(0, first);
  if (std::string_view("#>+-=").find(out[0]) != std::string_view::npos) return '\\' + out;
  const std::size_t digits = out.find_first_not_of("0123456789");
  const bool numbered = digits != 0 && digits < out.size() && (out[digits] == '.' || out[digits] == ')');
  if (numbered && (digits + 1 == out.size() || out[digits + 1] == ' ')) out.insert(digits, "\\");
  return out;
}

std::string in_roff(std::string_view foreign) {
  std::string out;
  for (const char c : in_one_line(foreign)) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";  // one that is typed, not one that may break a line
    } else if (c == '\'') {
      out += "\\(aq";
    } else {
      out += c;
    }
  }
  return out.starts_with('.') ? "\\&" + out : out;
}

std::string in_shell(std::string_view word) {
  const bool plain =
      !word.empty() && word.front() != '~' && std::all_of(word.begin(), word.end(), [](char c) {
        return is_word(c) || std::string_view("-_./,:+@%=~").find(c) != std::string_view::npos ||
               static_cast<unsigned char>(c) >= 0x80;
      });
  bool unseen = false;
  for (std::string_view rest = word; !rest.empty() && !unseen; rest.remove_prefix(character_length(rest)))
    unseen = is_unseen(character_at(rest));
  if (plain && !unseen) return std::string(word);
  std::string quoted = unseen ? "$'" : "'";
  for (std::size_t i = 0; i < word.size();) {
    const std::size_t bytes = character_length(word.substr(i));
    const bool hide = is_unseen(character_at(word.substr(i)));
    for (std::size_t k = i; k < i + bytes; ++k) {
      if (hide) {
        quoted += fmt::format("\\x{:02x}", static_cast<unsigned char>(word[k]));
      } else if (word[k] == '\'') {
        quoted += unseen ? "\\'" : "'\\''";
      } else if (unseen && word[k] == '\\') {
        quoted += "\\\\";
      } else {
        quoted += word[k];
      }
    }
    i += bytes;
  }
  return quoted + "'";
}

}  // namespace lugwise::text
