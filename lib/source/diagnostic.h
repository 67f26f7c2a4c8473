// What is wrong with, or odd about, a text a person wrote: one problem, its place, and its lasting code.
#pragma once

#include <string>
#include <vector>

#include "source/span.h"

namespace lugwise {

enum class Severity { Error, Warning };

struct Note {
  std::string message;
  Span at;  // may be unknown
};

struct Diagnostic {
  Severity severity = Severity::Error;
  std::string code;     // lasting: "N204"; documented in docs/errors.md
  std::string message;  // one sentence, without place
  std::string file;
  Span at;              // unknown: the file as a whole
  std::vector<Note> notes;
};

// How a problem is shown to a person: place, code, message, the line itself, a caret, the notes.
// `text` is the whole file, or empty where it can't be had.
std::string render(const Diagnostic& diagnostic, const std::string& text);

// The problems found in one text, in the order of their places, errors and warnings together.
class Diagnostics {
 public:
  explicit Diagnostics(std::string file) : file_(std::move(file)) {}

  Diagnostic& error(std::string code, Span at, std::string message);
  Diagnostic& warning(std::string code, Span at, std::string message);

  bool failed() const { return errors_ > 0; }
  const std::vector<Diagnostic>& list() const { return list_; }
  std::vector<Diagnostic> sorted() const;

 private:
  Diagnostic& add(Severity, std::string code, Span at, std::string message);

  std::string file_;
  std::vector<Diagnostic> list_;
  std::size_t errors_ = 0;
};

}  // namespace lugwise
