// The file a session keeps its record in: whole at every moment, and one session's at a time.
//
// Each writing makes a new file beside it, brings that to the disk and puts it in the place of the old one, so that a
// kill, a full disk or a power cut leaves either the old record or the new one. The file is locked while it is open.
#pragma once

#include <optional>
#include <string>

namespace lugwise::app {

class RecordFile {
 public:
  // A new one; throws BadInput where something has that name, or the folder can't be written to.
  static RecordFile create(const std::string& path, const std::string& otherwise);

  // One that is there; throws BadInput where it isn't, can't be written, or another session has it open.
  static RecordFile open(const std::string& path, const std::string& otherwise);

  RecordFile(RecordFile&& other) noexcept;
  RecordFile& operator=(RecordFile&&) = delete;
  ~RecordFile();

  // What is in it now.
  const std::string& text() const { return text_; }

  // Why it could not be written, in words; nothing where the text is on the disk. What was there before still is.
  std::optional<std::string> write(const std::string& text);

  // Takes a record without entries away.
  void remove();

  const std::string& path() const { return path_; }

 private:
  RecordFile(std::string path, int file) : path_(std::move(path)), file_(file) {}

  std::string path_;  // links followed
  int file_ = -1;     // locked
  std::string text_;
};

}  // namespace lugwise::app
