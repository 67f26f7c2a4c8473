#include "intake/inside/syntax_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace lugwise::intake::inside {
namespace {

constexpr std::string_view kBlanks = " \t";
constexpr const char* kUnreadable = "this line can't be read as YAML";

// Whether a bracket stands where a list or a map may begin, and not within a text.
bool begins_value(std::string_view text, std::size_t bracket) {
  const std::size_t before = text.substr(0, bracket).find_last_not_of(" \t");
  return before == std::string_view::npos ||
         std::string_view(":-,[{\r\n").find(text[before]) != std::string_view::npos;
}

bool is_word(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
}

// A line in two: what it is in from the margin, and the rest without what stands behind it.
struct Line {
  std::uint32_t number = 0;
  std::size_t margin = 0;
  std::string_view text;

  Line(const SourceText& source, std::uint32_t of) : number(of) {
    text = source.line(of);
    margin = std::min(text.find_first_not_of(kBlanks), text.size());
    text.remove_prefix(margin);
    const std::size_t remark = text.starts_with('#') ? 0 : text.find(" #");
    text = text.substr(0, remark);
    text = text.substr(0, text.find_last_not_of(" \t\r") + 1);
  }

  Span span(std::size_t from, std::size_t characters) const {
    return {number, static_cast<std::uint32_t>(margin + from + 1), static_cast<std::uint32_t>(characters)};
  }
};

// A line that begins with what a word processor makes of a list's dash: at or before the one that can't be read.
std::optional<Diagnostic> dash_of_a_printer(const SourceText& source, std::uint32_t number) {
  constexpr std::array<std::string_view, 4> kDashes{"\u2013 ", "\u2014 ", "\u2022 ", "\u2212 "};
  constexpr std::uint32_t kMostLines = 200;
  const std::uint32_t first = number > kMostLines ? number - kMostLines : 1;
  for (std::uint32_t n = number; n >= first; --n) {
    const Line line(source, n);
    for (const std::string_view dash : kDashes) {
      if (!line.text.starts_with(dash)) continue;
      const std::string_view sign = dash.substr(0, dash.size() - 1);
      Diagnostic problem{Severity::Error, "N105", kUnreadable, {}, line.span(0, 1), {}};
      problem.note(fmt::format("an entry of a list begins with '- ', not with '{} '", sign));
      return problem;
    }
  }
  return std::nullopt;
}

// "volume   {kind: pot}", or a line of one word above lines that are further in.
std::optional<Diagnostic> colon_left_out(const SourceText& source, std::uint32_t number) {
  const auto told = [](const Line& line, std::string_view word) {
    Diagnostic problem{
        Severity::Error,           "N105", fmt::format("a colon is missing after '{}'", word), {},
        line.span(0, word.size()), {}};
    return problem;
  };
  const Line here(source, number);
  const std::size_t bracket = here.text.find_first_of("[{");
  if (bracket != std::string_view::npos && bracket > 0) {
    std::string_view before = here.text.substr(0, bracket);
    before = before.substr(0, before.find_last_not_of(kBlanks) + 1);
    if (is_word(before) && before != "-") return told(here, before);
  }
  for (std::uint32_t n = number - 1; n >= 1; --n) {
    const Line line(source, n);
    if (line.text.empty()) continue;
    if (is_word(line.text) && here.margin > line.margin) return told(line, line.text);
    break;
  }
  return std::nullopt;
}

// "{kind: pot track: 250k}", "{kind: pot; track: 250k}": `colon` is the second of them.
std::optional<Diagnostic> comma_left_out(const SourceText& source, std::size_t colon) {
  const std::string_view text = source.text().substr(0, colon);
  if (colon >= source.text().size() || source.text()[colon] != ':') return std::nullopt;
  const std::size_t line_start = text.find_last_of("\r\n") + 1;
  const std::size_t brace = text.find_last_of("{,");
  const std::size_t first = text.find_last_not_of(kBlanks);
  if (brace == std::string_view::npos || brace < line_start || first == std::string_view::npos ||
      text.find(": ", brace) == std::string_view::npos)
    return std::nullopt;
  const std::size_t word = text.find_last_of(kBlanks, first) + 1;
  if (word <= brace || !is_word(text.substr(word, first + 1 - word))) return std::nullopt;
  const std::size_t before = text.find_last_not_of(kBlanks, word - 1);
  if (text[before] == ';') {
    Diagnostic problem{Severity::Error,        "N105", "a comma belongs here, not ';'", {},
                       source.span(before, 1), {}};
    return problem;
  }
  return Diagnostic{Severity::Error,
                    "N105",
                    fmt::format("a comma is missing before '{}'", text.substr(word, first + 1 - word)),
                    {},
                    source.span(word, first + 1 - word),
                    {}};
}

// The likeliest slip of whoever typed it, where it is one of a few.
std::optional<Diagnostic> likely_slip(const SourceText& source, std::size_t at) {
  const std::uint32_t number = source.span(at, 1).line;
  if (auto dash = dash_of_a_printer(source, number)) return dash;
  if (auto colon = colon_left_out(source, number)) return colon;
  return comma_left_out(source, at);
}

// What the parser complains of, and where it stands then.
struct Complaint {
  const SourceText& source;
  const Brackets& brackets;
  std::string_view said;
  std::size_t at;  // bytes
  Diagnostics& diagnostics;

  bool says(std::string_view words) const { return said.find(words) != std::string_view::npos; }
  Span place(std::size_t of) const { return source.span(of, 1); }
  Diagnostic& report(const char* code, Span where, std::string message) const {
    return diagnostics.error(code, where, std::move(message));
  }
};

// False: it is of no bracket or quote.
bool report_bracket(const Complaint& of) {
  const std::string_view text = of.source.text();
  if (of.brackets.open_quote() && (of.says("EOF in scalar") || of.says("illegal") || of.says("end of"))) {
    of.report("N106", of.place(*of.brackets.open_quote()), "a quote is opened and never closed");
    return true;
  }
  if (of.says("map flow") || of.says("sequence flow") || of.says("flow end") || of.says("end of map") ||
      of.says("end of sequence")) {
    if (const auto pair = of.brackets.mismatch()) {
      of.report("N106", of.place(pair->second),
                fmt::format("'{}' does not close '{}'", text[pair->second], text[pair->first]))
          .note(fmt::format("'{}' was opened", text[pair->first]), of.place(pair->first));
      return true;
    }
    if (const auto open = of.brackets.unclosed()) {
      of.report("N106", of.place(*open), fmt::format("'{}' is opened and never closed", text[*open]));
      return true;
    }
  }
  if (!of.says("flow end")) return false;
  of.report("N106", of.place(of.at), "a bracket is closed that was never opened");
  return true;
}

// False: it is of no mark that has a meaning of its own in YAML.
bool report_mark(const Complaint& of) {
  const Span here = of.place(of.at);
  const std::string_view line = of.source.line(here.line);
  const std::size_t margin = std::min(line.find_first_not_of(' '), line.size());
  const bool tab = line.substr(margin).starts_with('\t');
  if (tab || of.says("tab")) {
    const Span where = tab ? Span{here.line, static_cast<std::uint32_t>(margin + 1), 1} : here;
    of.report("N107", where, "a tab can't be used to indent").note("indent with spaces");
    return true;
  }
  if (line.substr(margin).starts_with("* ")) {
    of.report("N105", here, kUnreadable).note("an entry of a list begins with '- ', not with '* '");
    return true;
  }
  if (of.says("alias") || of.says("anchor")) {
    of.report("N108", here, "an anchor or alias can't be used here")
        .note("write the value out in each place");
    return true;
  }
  if (!of.says("escape")) return false;
  // The parser is already past the letter.
  of.report("N105", of.place(of.at - std::min<std::size_t>(of.at, 1)), "no such escape in a quoted text")
      .note("in double quotes a backslash is written '\\\\'");
  return true;
}

// What was expected there.
std::string expected(const Complaint& of) {
  const std::string_view text = of.source.text();
  const Line line(of.source, of.place(of.at).line);
  if (of.says("illegal map value")) {
    const std::size_t line_start = text.substr(0, of.at).find_last_of("\r\n") + 1;  // 0 on the first line
    return text.substr(line_start, of.at - line_start).find(": ") != std::string_view::npos
               ? "a second ': ' on one line; a text with ': ' in it goes between quotes"
               : "the line before has no ': ', or this one is not in line with its neighbours";
  }
  if (line.text.starts_with('[') || line.text.starts_with('{')) return "an entry of a list begins with '- '";
  if (of.says("end of map")) return "expected 'key: value', in line with the other keys";
  if (of.says("end of sequence") || of.says("block entry"))
    return "expected '- ', in line with the other entries";
  if (of.says("unknown token")) return "put a text that begins with such a mark between quotes";
  return "the YAML reader says: " + std::string(of.said);
}

}  // namespace

void report_syntax(const SourceText& source, std::size_t offset, const YAML::Exception& problem,
                   const Brackets& brackets, Diagnostics& diagnostics) {
  const std::string_view text = source.text();
  const std::size_t at =
      std::min(offset + static_cast<std::size_t>(std::max(problem.mark.pos, 0)), text.size());
  const Complaint of{source, brackets, problem.msg, at, diagnostics};
  if (report_bracket(of) || report_mark(of)) return;
  // A bracket left open swallows the lines below it; what the parser stumbles over comes later.
  if (const auto open = brackets.unclosed(); open && *open < at && begins_value(text, *open)) {
    of.report("N106", of.place(*open), fmt::format("'{}' is opened and never closed", text[*open]));
  } else if (auto slip = likely_slip(source, at)) {
    of.report("N105", slip->at, slip->message).notes = std::move(slip->notes);
  } else {
    of.report("N105", of.place(at), kUnreadable).note(expected(of));
  }
}

}  // namespace lugwise::intake::inside
