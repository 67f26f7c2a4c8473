#include "file.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <vector>

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

void write_file(const std::string& path, const std::string& text) {
  errno = 0;
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file << text;
  file.close();
  if (file) return;
  throw bad_input("U320",
                  fmt::format("can't be written: {}", errno != 0 ? std::strerror(errno) : "no reason given"),
                  path);
}

}  // namespace lugwise::app
