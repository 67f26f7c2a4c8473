#include "source/diagnostic.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "source/headline.h"
#include "text/character.h"
#include "text/safe.h"

namespace lugwise {
namespace {

// A file that is wrong in more places than anybody counts needs no gigabyte for them.
constexpr std::size_t kMostKept = 20'000;

// Of a line too long for 80 columns, so many characters are shown, at most so many of them before the caret.
constexpr std::size_t kLongLine = 72;
constexpr std::size_t kShown = 66;
constexpr std::size_t kBefore = 36;

std::string source_line(const Span& at, std::string_view line) {
  const std::size_t total = lugwise::text::length(line);
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
    const std::string_view character = line.substr(i, lugwise::text::character_length(line.substr(i)));
    if (column >= first) shown += lugwise::text::in_one_line(character);
    i += character.size();
  }
  if (last < total) shown += "...";
  return fmt::format("{}\n{}^\n", shown, std::string(caret, ' '));
}

}  // namespace

std::string headline(const Diagnostic& diagnostic) {
  const Span& at = diagnostic.at;
  return fmt::format("{}{}: {}: {} ({})", lugwise::text::in_one_line(diagnostic.file),
                     at.known() ? fmt::format(":{}:{}", at.line, at.column) : "",
                     diagnostic.severity == Severity::Error ? "error" : "warning",
                     lugwise::text::in_one_line(diagnostic.message), diagnostic.code);
}

std::string excerpt(const Diagnostic& diagnostic, const SourceText& text) {
  const Span& at = diagnostic.at;
  return at.known() && !text.text().empty() ? source_line(at, text.line(at.line)) : "";
}

std::string in_words(const Note& note) {
  const std::string message = lugwise::text::in_one_line(note.message);
  if (!note.at.known()) return message;
  return fmt::format("{} at {}{}{}:{}", message, note.file, note.file.empty() ? "" : ":", note.at.line,
                     note.at.column);
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
  if (list_.size() >= kMostKept) {
    thread_local Diagnostic unkept;  // takes the notes
    unkept = {};
    return unkept;
  }
  const std::string& file = at.file < files_->size() ? (*files_)[at.file] : files_->front();
  list_.push_back({severity, std::move(code), std::move(message), file, at, {}, files_});
  return list_.back();
}

std::uint32_t Diagnostics::add_file(const std::string& file) {
  const auto known = std::find(files_->begin() + 1, files_->end(), file);
  if (known != files_->end()) return static_cast<std::uint32_t>(known - files_->begin());
  files_->push_back(file);
  return static_cast<std::uint32_t>(files_->size() - 1);
}

void Diagnostics::take_over(const Diagnostics& other, std::uint32_t file) {
  for (Diagnostic each : other.list_) {
    each.at.file = file;
    for (Note& note : each.notes) note.at.file = file;
    each.files = files_;
    list_.push_back(std::move(each));
  }
  errors_ += other.errors_;
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
    return std::tie(a.at.file, a.at.line, a.at.column) < std::tie(b.at.file, b.at.line, b.at.column);
  });
  const auto same = [](const Diagnostic& a, const Diagnostic& b) {
    return a.at.known() && a.at == b.at && a.code == b.code && a.message == b.message;
  };
  sorted.erase(std::unique(sorted.begin(), sorted.end(), same), sorted.end());
  return sorted;
}

}  // namespace lugwise
