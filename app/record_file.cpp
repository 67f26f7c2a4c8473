#include "record_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <utility>

#include "command.h"
#include "file.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

BadInput refused(const char* code, const std::string& path, std::string message, std::string hint) {
  BadInput problem = bad_input(code, std::move(message), path);
  problem.errors.front().note(std::move(hint));
  return problem;
}

BadInput unwritable(const std::string& path, int error, const std::string& otherwise) {
  return refused("U331", path, fmt::format("the record can't be kept here: {}", std::strerror(error)),
                 otherwise);
}

// The process that has the lock of an open file, as Linux lists it: "12: FLOCK ADVISORY WRITE 4711 08:02:1234 0 EOF".
std::optional<std::string> holder_of(int file) {
  struct stat status {};
  if (fstat(file, &status) != 0) return std::nullopt;
  std::ifstream locks("/proc/locks");
  const std::string inode = fmt::format(":{} ", status.st_ino);
  for (std::string line; std::getline(locks, line);) {
    if (line.find("FLOCK") == std::string::npos || line.find(inode) == std::string::npos) continue;
    const std::size_t write = line.find("WRITE");
    if (write == std::string::npos) continue;
    const std::size_t first = line.find_first_not_of(' ', write + 5);
    const std::size_t last = line.find(' ', first);
    if (first != std::string::npos && last != std::string::npos) return line.substr(first, last - first);
  }
  return std::nullopt;
}

// Whether the open file is still the one of that name, and not one that was replaced meanwhile.
bool still_there(int file, const std::string& path) {
#ifdef __EMSCRIPTEN__
  // A page has no other program; and there fstat knows nothing of a file that was renamed.
  return file >= 0 && ::access(path.c_str(), F_OK) == 0;
#else
  struct stat open {};
  struct stat named {};
  return fstat(file, &open) == 0 && stat(path.c_str(), &named) == 0 && open.st_ino == named.st_ino &&
         open.st_dev == named.st_dev;
#endif
}

// Beside the record, under a name that no other record has.
std::string draft_of(const std::string& path) {
  const fs::path record(path);
  return (record.parent_path() / ("." + record.filename().string() + ".new")).string();
}

}  // namespace

RecordFile RecordFile::create(const std::string& path, const std::string& otherwise) {
  const int file = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (file < 0 && errno == EEXIST)
    throw refused("U330", path,
                  fmt::format("there is {} of that name already, and it is not overwritten", kind_of(path)),
                  otherwise);
  if (file < 0) throw unwritable(path, errno, otherwise);
  flock(file, LOCK_EX | LOCK_NB);
  std::error_code error;
  const fs::path whole = fs::canonical(path, error);
  return RecordFile(error ? path : whole.string(), file);
}

RecordFile RecordFile::open(const std::string& path, const std::string& otherwise) {
  std::error_code error;
  const fs::path found = fs::canonical(path, error);
  const std::string whole = error ? path : found.string();
  for (;;) {
    // What is no plain file must not be opened, which may wait or do something, and even less be replaced.
    struct stat status {};
    if (stat(whole.c_str(), &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode))
      throw refused("U331", path, fmt::format("the record can't be kept here: it is {}", kind_of(whole)),
                    "--resume takes a readings file");
    const int file = ::open(whole.c_str(), O_RDWR | O_CLOEXEC | O_NONBLOCK);
    if (file < 0 && (errno == ENOENT || errno == EISDIR))
      throw bad_input("U300", fmt::format("can't be read: {}", std::strerror(errno)), path);
    if (file < 0) throw unwritable(path, errno, otherwise);
    if (flock(file, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) {
      const auto holder = holder_of(file);
      ::close(file);
      throw refused("U332", path,
                    fmt::format("another session has this record open{}",
                                holder ? fmt::format(": process {}", *holder) : ""),
                    otherwise);
    }
    if (!still_there(file, whole)) {
      ::close(file);
      continue;
    }
    if (const std::string why = why_unwritable(whole); !why.empty()) {
      ::close(file);
      throw refused("U331", path, "the record can't be kept here: " + why, otherwise);
    }
    RecordFile record(whole, file);
    ::unlink(draft_of(whole).c_str());  // of a session that was killed while it wrote
    record.text_ = read_file(whole);
    return record;
  }
}

RecordFile::RecordFile(RecordFile&& other) noexcept
    : path_(std::move(other.path_)), file_(std::exchange(other.file_, -1)), text_(std::move(other.text_)) {}

RecordFile::~RecordFile() {
  if (file_ >= 0) ::close(file_);
}

std::optional<std::string> RecordFile::write(const std::string& text) {
  std::error_code error;
  if (!still_there(file_, path_)) {
    if (fs::exists(path_, error))
      return "another program put a file of its own in its place; move that away first";
    // It was deleted or moved: it is written anew.
  } else {
    try {
      if (read_file(path_) != text_)
        return "another program changed it meanwhile; put its text back, or move it away";
    } catch (const BadInput&) {
      return "it can't be read any more";
    }
  }
  struct stat before {};
  Draft draft(path_, fstat(file_, &before) == 0 ? &before : nullptr, draft_of(path_));
  if (draft.state() != 0) return std::strerror(draft.state());
  // Locked before it takes the old one's place, so that the record is never without a lock.
  if (flock(draft.descriptor(), LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK) return std::strerror(errno);
  if (const int why = draft.write(text)) return std::strerror(why);
  const int why = draft.take_place();
  if (!draft.placed()) return std::strerror(why);
  ::close(file_);
  file_ = draft.release();
  text_ = text;
  if (why != 0) return std::strerror(why);
  return std::nullopt;
}

void RecordFile::remove() {
  if (still_there(file_, path_)) ::unlink(path_.c_str());
}

}  // namespace lugwise::app
