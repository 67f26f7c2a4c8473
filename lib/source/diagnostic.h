// What is wrong with, or odd about, a text a person wrote: one problem, its place, and its lasting code.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "source/source_text.h"
#include "source/span.h"

namespace lugwise {

enum class Severity { Error, Warning };

struct Note {
  std::string message;    // where `at` is known it reads on with "at line:column": "first given"
  Span at;                // may be unknown
  std::string file = {};  // where `at` is in another file than the problem
};

struct Diagnostic {
  Severity severity = Severity::Error;
  std::string code;     // lasting: "N204"; documented in docs/errors.md
  std::string message;  // one sentence, without place
  std::string file;
  Span at;  // unknown: the file as a whole
  std::vector<Note> notes;
  std::shared_ptr<const std::vector<std::string>> files = {};  // by Span::file; none: there is but one

  Diagnostic& note(std::string note_message, Span where = {}) {
    const bool elsewhere = files && where.known() && where.file != at.file && where.file < files->size();
    notes.push_back({std::move(note_message), where, elsewhere ? (*files)[where.file] : std::string()});
    return *this;
  }
};

// How a problem is shown to a person, all its parts together (source/headline.h). Of a very long line only the part around the
// caret is shown, and what can't be printed as a question mark. `text` is the whole file, or empty where it can't be had.
// Many problems of one text: count its lines once.
std::string render(const Diagnostic& diagnostic, const SourceText& text);
std::string render(const Diagnostic& diagnostic, std::string_view text);

// The problems found in one text, errors and warnings together.
class Diagnostics {
 public:
  explicit Diagnostics(std::string file)
      : files_(std::make_shared<std::vector<std::string>>(1, std::move(file))) {}

  // The number that spans in another file have, which the text is put together from too.
  std::uint32_t add_file(const std::string& file);

  // All that another found, whose text is this one's file of that number.
  void take_over(const Diagnostics& other, std::uint32_t file);

  // Adds a problem; the answer is good until the next one is added.
  Diagnostic& error(std::string code, Span at, std::string message);
  Diagnostic& warning(std::string code, Span at, std::string message);

  const std::string& file() const { return files_->front(); }
  const std::vector<std::string>& files() const { return *files_; }
  bool failed() const { return errors_ > 0; }
  const std::vector<Diagnostic>& list() const { return list_; }  // as found
  std::vector<Diagnostic> sorted() const;  // by file and place, the file as a whole first; the same only once

 private:
  Diagnostic& add(Severity, std::string code, Span at, std::string message);

  std::shared_ptr<std::vector<std::string>> files_;
  std::vector<Diagnostic> list_;
  std::size_t errors_ = 0;
};

}  // namespace lugwise
