#include "file.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <vector>

#include <unistd.h>

#include "command.h"

namespace lugwise::app {

std::string read_file(const std::string& path) {
  const auto unreadable = [&](const std::string& why) {
    return bad_input("U300", "can't be read: " + why, path);
  };
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) throw unreadable("it is a folder");
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  if (!file) throw unreadable(errno != 0 ? std::strerror(errno) : "it can't be opened");
  // Well above what any reader takes, so that it is the reader who refuses; an endless file ends here.
  constexpr std::size_t kMost = 64u << 20;
  std::string text;
  std::vector<char> piece(1u << 16);
  while (text.size() < kMost && file) {
    file.read(piece.data(), static_cast<std::streamsize>(piece.size()));
    text.append(piece.data(), static_cast<std::size_t>(file.gcount()));
  }
  if (file.bad()) throw unreadable("reading it failed");
  return text;
}

std::string kind_of(const std::string& path) {
  namespace fs = std::filesystem;
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

void write_file(const std::string& path, const std::string& text) {
  namespace fs = std::filesystem;
  const auto unwritable = [&](int why) {
    return bad_input(
        "U320", fmt::format("can't be written: {}", why != 0 ? std::strerror(why) : "no reason given"), path);
  };
  std::error_code error;
  const fs::file_status there = fs::status(path, error);
  const bool link = fs::is_symlink(fs::symlink_status(path, error));
  if (fs::is_directory(there) || fs::is_block_file(there) || (link && !fs::exists(there)))
    throw bad_input("U320", fmt::format("can't be written: it is {}", kind_of(path)), path);
  const auto write = [&](const std::string& to) {
    errno = 0;
    std::ofstream file(to, std::ios::binary | std::ios::trunc);
    file << text;
    file.close();
    return file ? 0 : errno != 0 ? errno : EIO;
  };
  // What is no plain file, as /dev/stdout or a pipe, has nothing that could be lost.
  if (fs::exists(there) && !fs::is_regular_file(there)) {
    if (const int why = write(path)) throw unwritable(why);
    return;
  }
  const fs::path place = link ? fs::canonical(path, error) : fs::path(path);
  const std::string beside = fmt::format("{}.{}.part", place.string(), ::getpid());
  if (const int why = write(beside)) {
    fs::remove(beside, error);
    throw unwritable(why);
  }
  if (fs::exists(there)) fs::permissions(beside, there.permissions(), error);
  fs::rename(beside, place, error);
  if (!error) return;
  const int why = error.value();
  fs::remove(beside, error);
  throw unwritable(why);
}

}  // namespace lugwise::app
