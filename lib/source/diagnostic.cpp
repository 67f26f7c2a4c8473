#include "source/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>

namespace lugwise {
namespace {

// Of a line too long for 80 columns, so many characters are shown, at most so many of them before the caret.
constexpr std::size_t kLongLine = 72;
constexpr std::size_t kShown = 66;
constexpr std::size_t kBefore = 36;

bool continues_character(char byte) { return (static_cast<unsigned char>(byte) & 0xC0) == 0x80; }

// The bytes of the character at the start of a text: one, and what continues it.
std::size_t character_length(std::string_view text) {
  std::size_t length = 1;
  while (length < text.size() && continues_character(text[length])) ++length;
  return length;
}

// A character as it takes one column: a tab becomes a space, what can't be printed a question mark.
std::string_view printable(std::string_view character) {
  const auto lead = static_cast<unsigned char>(character.front());
  const std::size_t length = lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC2 ? 2 : 0;
  if (lead == '\t') return " ";
  return length != character.size() || lead < 0x20 || lead == 0x7F || lead > 0xF4 ? "?" : character;
}

std::string source_line(const Span& at, std::string_view line) {
  const auto total = static_cast<std::size_t>(
      std::count_if(line.begin(), line.end(), [](char c) { return !continues_character(c); }));
  std::size_t caret = at.column - 1;
  std::size_t first = 0;
  std::size_t last = total;
  if (total > kLongLine) {
    if (caret > kBefore) first = std::min(caret - kBefore, total - kShown);
    last = std::min(total, first + kShown);
  }
  std::string shown = first > 0 ? "..." : "";
  caret = caret - first + shown.size();
  std::size_t column = 0;
  for (std::size_t i = 0; i < line.size() && column < last; ++column) {
    const std::string_view character = line.substr(i, character_length(line.substr(i)));
    if (column >= first) shown += printable(character);
    i += character.size();
  }
  if (last < total) shown += "...";
  return fmt::format("{}\n{}^\n", shown, std::string(caret, ' '));
}

}  // namespace

std::string headline(const Diagnostic& diagnostic) {
  const Span& at = diagnostic.at;
  return fmt::format(
      "{}{}: {}: {} ({})", diagnostic.file, at.known() ? fmt::format(":{}:{}", at.line, at.column) : "",
      diagnostic.severity == Severity::Error ? "error" : "warning", diagnostic.message, diagnostic.code);
}

std::string excerpt(const Diagnostic& diagnostic, const SourceText& text) {
  const Span& at = diagnostic.at;
  return at.known() && !text.text().empty() ? source_line(at, text.line(at.line)) : "";
}

std::string in_words(const Note& note) {
  return note.at.known() ? fmt::format("{} at {}:{}", note.message, note.at.line, note.at.column)
                         : note.message;
}

std::string render(const Diagnostic& diagnostic, const SourceText& text) {
  std::string shown = headline(diagnostic) + '\n' + excerpt(diagnostic, text);
  for (const Note& note : diagnostic.notes) shown += fmt::format("  {}\n", in_words(note));
  return shown;
}

std::string render(const Diagnostic& diagnostic, std::string_view text) {
  return render(diagnostic, SourceText(text));
}

Diagnostic& Diagnostics::add(Severity severity, std::string code, Span at, std::string message) {
  list_.push_back({severity, std::move(code), std::move(message), file_, at, {}});
  return list_.back();
}

Diagnostic& Diagnostics::error(std::string code, Span at, std::string message) {
  ++errors_;
  return add(Severity::Error, std::move(code), at, std::move(message));
}

Diagnostic& Diagnostics::warning(std::string code, Span at, std::string message) {
  return add(Severity::Warning, std::move(code), at, std::move(message));
}

std::vector<Diagnostic> Diagnostics::sorted() const {
  std::vector<Diagnostic> sorted = list_;
  std::stable_sort(sorted.begin(), sorted.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  return sorted;
}

}  // namespace lugwise
