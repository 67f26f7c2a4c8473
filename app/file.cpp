#include "file.h"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <climits>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <vector>

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command.h"

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
  // What closing says: some disks tell only then that they are full.
  int close() {
    const int done = ::close(fd_);
    fd_ = -1;
    return done == 0 ? 0 : errno;
  }

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

// While it lives, what ends the program removes the file first; unless it is kept, so does its own end.
class Unfinished {
 public:
  explicit Unfinished(const std::string& path) : path_(path) {
    if (path.size() >= unfinished.size()) return;
    std::memcpy(unfinished.data(), path.c_str(), path.size() + 1);
    struct sigaction heed {};
    heed.sa_handler = remove_unfinished;
    sigfillset(&heed.sa_mask);
    for (std::size_t i = 0; i < before_.size(); ++i) {
      ::sigaction(kEnding[i], nullptr, &before_[i]);
      // What the program ignores, as under nohup, stays ignored.
      if (before_[i].sa_handler != SIG_IGN) ::sigaction(kEnding[i], &heed, nullptr);
    }
    heeding_ = true;
  }
  ~Unfinished() {
    if (!kept_) ::unlink(path_.c_str());
    for (std::size_t i = 0; heeding_ && i < before_.size(); ++i)
      ::sigaction(kEnding[i], &before_[i], nullptr);
  }
  Unfinished(const Unfinished&) = delete;
  Unfinished& operator=(const Unfinished&) = delete;
  void keep() { kept_ = true; }

 private:
  std::string path_;
  std::array<struct sigaction, std::size(kEnding)> before_{};
  bool heeding_ = false;
  bool kept_ = false;
};

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

// A file of a name nobody has, in the folder of the one that it will replace; its name goes to `path`.
int create_beside(const fs::path& place, mode_t mode, std::string& path) {
  for (int number = 0; number < 100; ++number) {
    path = (place.parent_path() / fmt::format(".lugwise-{}-{}.part", ::getpid(), number)).string();
    const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, mode);
    if (fd >= 0 || errno != EEXIST) return fd;
  }
  return -1;
}

}  // namespace

std::string read_file(const std::string& path) {
  const auto unreadable = [&](const std::string& why) {
    return bad_input("U300", "can't be read: " + why, path);
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
  const fs::path place = there ? fs::canonical(path, error) : fs::path(path);
  const std::string folder = place.has_parent_path() ? place.parent_path().string() : ".";
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
  const fs::path place = there ? fs::canonical(path, error) : fs::path(path);
  const mode_t mode = there ? is.st_mode & 0777 : 0666;
  std::string beside;
  Opened file(create_beside(place, mode, beside));
  if (!file) throw failed(errno);
  Unfinished started(beside);
  // The mask of the process may have taken bits that the file had.
  if (there) {
    (void)!::fchown(file.get(), is.st_uid, is.st_gid);
    ::fchmod(file.get(), mode);
  }
  int why = write_all(file.get(), text);
  if (why == 0 && ::fsync(file.get()) != 0 && errno != EINVAL) why = errno;
  if (const int closing = file.close(); why == 0) why = closing;
  if (why == 0 && ::rename(beside.c_str(), place.c_str()) != 0) why = errno;
  if (why != 0) throw failed(why);
  started.keep();
  const std::string folder = place.has_parent_path() ? place.parent_path().string() : ".";
  if (const Opened held(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)); held)
    ::fsync(held.get());
}

}  // namespace lugwise::app
