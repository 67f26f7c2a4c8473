#include "source/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>

namespace lugwise {
namespace {

// Characters of a line shown before and after the caret where the line is too long for a screen.
constexpr std::size_t kLongLine = 160;
constexpr std::size_t kBefore = 60;
constexpr std::size_t kAfter = 60;

// A line as characters that each take one column: what can't be printed becomes a question mark, a tab a space.
std::vector<std::string> columns(std::string_view line) {
  std::vector<std::string> found;
  for (std::size_t i = 0; i < line.size();) {
    const auto lead = static_cast<unsigned char>(line[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    std::size_t got = 1;
    while (got < length && i + got < line.size() && (static_cast<unsigned char>(line[i + got]) & 0xC0) == 0x80) ++got;
    if (lead == '\t') {
      found.emplace_back(" ");
    } else if (lead < 0x20 || lead == 0x7F || got < length) {
      found.emplace_back("?");
    } else if ((lead & 0xC0) == 0x80) {
      // A stray continuation byte is no column of its own; spans don't count it either.
      if (found.empty()) found.emplace_back("?");
    } else {
      found.emplace_back(line.substr(i, length));
    }
    i += got;
  }
  return found;
}

std::string source_line(const Span& at, std::string_view line) {
  std::vector<std::string> characters = columns(line);
  std::size_t caret = at.column - 1;
  std::size_t length = std::max<std::uint32_t>(1, at.length);
  if (characters.size() > kLongLine) {
    if (caret + kAfter < characters.size()) {
      characters.resize(caret + kAfter);
      characters.emplace_back("...");
    }
    length = std::min(length, kAfter);
    if (caret > kBefore) {
      const std::size_t cut = caret - kBefore;
      characters.erase(characters.begin(), characters.begin() + static_cast<std::ptrdiff_t>(cut));
      characters.insert(characters.begin(), "...");
      caret = kBefore + 3;
    }
  }
  std::string shown;
  for (const std::string& character : characters) shown += character;
  return fmt::format("{:>5} | {}\n      | {}^{}\n", at.line, shown, std::string(caret, ' '), std::string(length - 1, '~'));
}

}  // namespace

std::string render(const Diagnostic& diagnostic, const SourceText& text) {
  const Span& at = diagnostic.at;
  std::string shown = diagnostic.file;
  if (at.known()) shown += fmt::format(":{}:{}", at.line, at.column);
  shown += fmt::format(": {}[{}]: {}\n", diagnostic.severity == Severity::Error ? "error" : "warning", diagnostic.code,
                       diagnostic.message);
  if (at.known() && !text.text().empty()) shown += source_line(at, text.line(at.line));
  for (const Note& note : diagnostic.notes) {
    shown += "   note: " + note.message;
    if (note.at.known()) shown += fmt::format(" at {}:{}", note.at.line, note.at.column);
    shown += '\n';
  }
  return shown;
}

std::string render(const Diagnostic& diagnostic, std::string_view text) { return render(diagnostic, SourceText(text)); }

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
