#include "file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <climits>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <optional>
#include <utility>
#include <vector>

#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include "command.h"
#include "source/nearest.h"

namespace lugwise::app {
namespace {

namespace fs = std::filesystem;

constexpr int kPatience = 2000;  // milliseconds for somebody to come to the other end of a pipe

// An open file, closed at the end.
class Opened {
 public:
  explicit Opened(int fd) : fd_(fd) {}
  ~Opened() {
    if (fd_ >= 0) ::close(fd_);
  }
  Opened(const Opened&) = delete;
  Opened& operator=(const Opened&) = delete;

  explicit operator bool() const { return fd_ >= 0; }
  int get() const { return fd_; }

 private:
  int fd_;
};

// The temporary file that is being written, for a signal to remove; one at a time.
std::array<char, PATH_MAX> unfinished{};
constexpr int kEnding[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGALRM, SIGXCPU, SIGUSR1, SIGUSR2};

extern "C" void remove_unfinished(int signal) {
  ::unlink(unfinished.data());
  std::signal(signal, SIG_DFL);
  ::raise(signal);
}

std::array<struct sigaction, std::size(kEnding)> heeded_before{};

// What ends the program removes the file first.
void heed_signals(const std::string& path) {
  if (path.size() >= unfinished.size()) return;
  std::memcpy(unfinished.data(), path.c_str(), path.size() + 1);
  struct sigaction heed {};
  heed.sa_handler = remove_unfinished;
  sigfillset(&heed.sa_mask);
  for (std::size_t i = 0; i < heeded_before.size(); ++i) {
    ::sigaction(kEnding[i], nullptr, &heeded_before[i]);
    // What the program ignores, as under nohup, stays ignored.
    if (heeded_before[i].sa_handler != SIG_IGN) ::sigaction(kEnding[i], &heed, nullptr);
  }
}

void heed_as_before() {
  if (unfinished[0] == 0) return;
  for (std::size_t i = 0; i < heeded_before.size(); ++i) ::sigaction(kEnding[i], &heeded_before[i], nullptr);
  unfinished[0] = 0;
}

// Zero, or why not.
int write_all(int fd, std::string_view text) {
  while (!text.empty()) {
    const ssize_t count = ::write(fd, text.data(), text.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return errno;
    text.remove_prefix(static_cast<std::size_t>(count));
  }
  return 0;
}

// A pipe to which nobody ever comes would be waited for without end.
Opened open_to_write(const std::string& path) {
  for (int waited = 0;; waited += 50) {
    const int fd = ::open(path.c_str(), O_WRONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (fd >= 0) {
      ::fcntl(fd, F_SETFL, ::fcntl(fd, F_GETFL) & ~O_NONBLOCK);
      return Opened(fd);
    }
    if (errno != ENXIO || waited >= kPatience) return Opened(-1);
    ::poll(nullptr, 0, 50);
  }
}

int create_new(const std::string& path, mode_t mode) {
  return ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, mode);
}

// The file beside one that is not there which was probably meant, as it would be typed.
std::optional<std::string> nearest_file(const std::string& path) {
  constexpr std::size_t kMostNames = 1000;
  std::error_code error;
  const fs::path missing(path);
  if (missing.filename().empty() || fs::exists(fs::symlink_status(path, error))) return std::nullopt;
  std::vector<std::string> names;
  for (fs::directory_iterator entry(folder_of(path), error), end; !error && entry != end;
       entry.increment(error)) {
    if (names.size() == kMostNames) break;
    std::error_code unknown;
    if (!fs::is_directory(entry->path(), unknown)) names.push_back(entry->path().filename().string());
  }
  std::sort(names.begin(), names.end());
  const auto near = nearest_name(missing.filename().string(), names);
  if (!near) return std::nullopt;
  return (missing.parent_path() / *near).string();
}

}  // namespace

Draft::Draft(const std::string& place, const struct stat* like, const std::string& name)
    : place_(place), path_(name) {
  const mode_t mode = like ? like->st_mode & 07777 : 0666;
  if (!name.empty()) {
    ::unlink(name.c_str());
    file_ = create_new(name, mode);
  }
  for (int number = 0; name.empty() && number < 100; ++number) {
    path_ = (fs::path(place).parent_path() / fmt::format(".lugwise-{}-{}.part", ::getpid(), number)).string();
    file_ = create_new(path_, mode);
    if (file_ >= 0 || errno != EEXIST) break;
  }
  if (file_ < 0) {
    failed_ = errno;
    return;
  }
  made_ = true;
  heed_signals(path_);
  if (!like) return;
  // The mask of the process may have taken bits that the file had.
  (void)!::fchown(file_, like->st_uid, like->st_gid);
  if (::fchmod(file_, mode) != 0 && errno != EPERM) failed_ = errno;
}

Draft::~Draft() {
  if (file_ >= 0) ::close(file_);
  if (!made_) return;
  if (!placed_) ::unlink(path_.c_str());
  heed_as_before();
}

int Draft::write(std::string_view text) {
  if (failed_ == 0) failed_ = write_all(file_, text);
  if (failed_ == 0 && ::fsync(file_) != 0 && errno != EINVAL) failed_ = errno;
  return failed_;
}

int Draft::take_place() {
  if (failed_ == 0 && ::rename(path_.c_str(), place_.c_str()) != 0) failed_ = errno;
  if (failed_ != 0) return failed_;
  placed_ = true;
  // Where a folder can't be asked for that, the file itself is there.
  const Opened held(::open(folder_of(place_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (held && ::fsync(held.get()) != 0 && errno != EINVAL) failed_ = errno;
  return failed_;
}

int Draft::release() { return std::exchange(file_, -1); }

std::string read_file(const std::string& path) {
  const auto unreadable = [&](const std::string& why) {
    BadInput problem = bad_input("U300", "can't be read: " + why, path);
    if (const auto near = nearest_file(path))
      problem.errors.front().note(fmt::format("nearest file is '{}'", *near));
    return problem;
  };
  // Opened without waiting: a pipe that nobody writes to would be waited for without end, in silence.
  const Opened file(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC));
  if (!file) throw unreadable(std::strerror(errno));
  struct stat is {};
  if (::fstat(file.get(), &is) != 0) throw unreadable(std::strerror(errno));
  if (S_ISDIR(is.st_mode)) throw unreadable("it is a folder");
  // Well above what any reader takes, so that it is the reader who refuses; an endless file ends here.
  constexpr std::size_t kMost = 64u << 20;
  std::string text;
  std::vector<char> piece(1u << 16);
  const bool pipe = S_ISFIFO(is.st_mode);
  bool written = false;  // somebody is, or was, at the other end
  for (int waited = 0; text.size() < kMost;) {
    const ssize_t count = ::read(file.get(), piece.data(), piece.size());
    if (count > 0) {
      text.append(piece.data(), static_cast<std::size_t>(count));
      written = true;
    } else if (count < 0 && errno == EINTR) {
      continue;
    } else if (count < 0 && errno == EAGAIN) {
      written = true;
      pollfd more{file.get(), POLLIN, 0};
      ::poll(&more, 1, -1);
    } else if (count < 0) {
      throw unreadable(std::strerror(errno));
    } else if (pipe && !written && waited < kPatience) {
      ::poll(nullptr, 0, 50);
      waited += 50;
    } else {
      break;
    }
  }
  if (pipe && !written) throw unreadable("it is a pipe that nobody writes to");
  return text;
}

std::string seen_from(const std::string& folder, const std::string& file) {
  std::error_code error;
  const fs::path there = fs::absolute(file, error).lexically_normal();
  return there.lexically_proximate(fs::absolute(folder, error).lexically_normal()).string();
}

std::string folder_of(const std::string& path) {
  const fs::path place(path);
  return place.has_parent_path() ? place.parent_path().string() : ".";
}

std::string kind_of(const std::string& path) {
  std::error_code error;
  switch (fs::status(path, error).type()) {
    case fs::file_type::regular:
      return "a file";
    case fs::file_type::directory:
      return "a folder";
    case fs::file_type::fifo:
      return "a pipe";
    case fs::file_type::character:
    case fs::file_type::block:
      return "a device";
    case fs::file_type::socket:
      return "a socket";
    default:
      return fs::is_symlink(fs::symlink_status(path, error)) ? "a link that leads nowhere" : "";
  }
}

std::string why_unwritable(const std::string& path) {
  std::error_code error;
  const std::string kind = kind_of(path);
  struct stat is {};
  const bool there = ::stat(path.c_str(), &is) == 0;
  if (kind == "a folder" || kind == "a socket" || kind == "a link that leads nowhere" ||
      (there && S_ISBLK(is.st_mode)))
    return "it is " + kind;
  if (there && !S_ISREG(is.st_mode)) return ::access(path.c_str(), W_OK) == 0 ? "" : std::strerror(errno);
  if (there && is.st_nlink > 1)
    return fmt::format(
        "it has {} names (hard links), and only this one would change: remove it first, or name another",
        is.st_nlink);
  const std::string folder = folder_of(there ? fs::canonical(path, error).string() : path);
  return ::access(folder.c_str(), W_OK | X_OK) == 0 ? "" : std::strerror(errno);
}

void write_file(const std::string& path, const std::string& text) {
  const auto unwritable = [&](const std::string& why) {
    return bad_input("U320", "can't be written: " + why, path);
  };
  const auto failed = [&](int why) { return unwritable(why != 0 ? std::strerror(why) : "no reason given"); };
  if (const std::string why = why_unwritable(path); !why.empty()) throw unwritable(why);
  struct stat is {};
  const bool there = ::stat(path.c_str(), &is) == 0;
  // What is no plain file, as /dev/stdout or a pipe, has nothing that could be lost.
  if (there && !S_ISREG(is.st_mode)) {
    const Opened file = open_to_write(path);
    if (!file && errno == ENXIO) throw unwritable("it is a pipe that nobody reads from");
    if (!file) throw failed(errno);
    if (const int why = write_all(file.get(), text)) throw failed(why);
    return;
  }
  std::error_code error;
  const std::string place = there ? fs::canonical(path, error).string() : path;
  Draft draft(place, there ? &is : nullptr);
  draft.write(text);
  if (const int why = draft.take_place()) throw failed(why);
}

}  // namespace lugwise::app
