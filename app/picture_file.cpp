#include "picture_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cctype>
#include <cerrno>
#include <cstdio>
#include <memory>

#include "command.h"

namespace lugwise::app {
namespace {

constexpr const char* kProgram = "rsvg-convert";
constexpr int kMissing = 127;  // as a shell says it

using Scratch = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

Scratch scratch() {
  Scratch file(std::tmpfile(), std::fclose);
  if (!file) throw bad_input("U335", "no room for a temporary file to make the picture in");
  return file;
}

std::string all_of(std::FILE* file) {
  std::string bytes;
  char piece[1 << 14];
  std::rewind(file);
  while (const std::size_t count = std::fread(piece, 1, sizeof piece, file)) bytes.append(piece, count);
  return bytes;
}

// From one file into the other; what the program says of itself goes nowhere. Its exit status.
int convert(std::FILE* from, std::FILE* to, const char* format) {
  const pid_t child = fork();
  if (child < 0) return kMissing;
  if (child == 0) {
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(fileno(from), STDIN_FILENO);
    dup2(fileno(to), STDOUT_FILENO);
    if (nowhere >= 0) dup2(nowhere, STDERR_FILENO);
    execlp(kProgram, kProgram, "--format", format, "--zoom", "2", static_cast<char*>(nullptr));
    _exit(kMissing);
  }
  int status = 0;
  while (waitpid(child, &status, 0) < 0) {
    if (errno != EINTR) return kMissing;
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : kMissing - 1;
}

const char* name_of(PictureFormat format) {
  return format == PictureFormat::Png ? "png" : format == PictureFormat::Pdf ? "pdf" : "svg";
}

}  // namespace

PictureFormat picture_format(const std::string& asked, const std::string& file) {
  const std::string name = file.substr(file.find_last_of('/') + 1);
  const std::size_t dot = name.rfind('.');
  std::string ending = dot == std::string::npos || dot == 0 ? "" : name.substr(dot + 1);
  for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const std::string& wanted = asked.empty() ? ending : asked;
  if (!ending.empty() && ending != wanted)
    throw WrongUsage{fmt::format("--format {} and a file that ends in '.{}': choose one", asked, ending)};
  for (const PictureFormat format : {PictureFormat::Svg, PictureFormat::Png, PictureFormat::Pdf}) {
    if (wanted.empty() || wanted == name_of(format)) return format;
  }
  throw WrongUsage{fmt::format("-o: a picture's name ends in .svg, .png or .pdf, not '.{}'", ending)};
}

std::string rendered(const std::string& svg, PictureFormat format) {
  if (format == PictureFormat::Svg) return svg;
  const Scratch from = scratch(), to = scratch();
  std::fwrite(svg.data(), 1, svg.size(), from.get());
  std::fflush(from.get());
  std::rewind(from.get());
  const int status = convert(from.get(), to.get(), name_of(format));
  if (status == kMissing) {
    BadInput problem = bad_input(
        "U336", fmt::format("a {} needs the program {}, which is not installed", name_of(format), kProgram));
    problem.errors.front().note("it is in the Debian package librsvg2-bin; an .svg needs nothing");
    throw problem;
  }
  std::string bytes = all_of(to.get());
  if (status != 0 || bytes.empty())
    throw bad_input("U337", fmt::format("{} could not make a {} of the picture", kProgram, name_of(format)));
  return bytes;
}

}  // namespace lugwise::app
