#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <iostream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "allowance.h"
#include "cli.h"
#include "exit_code.h"
#include "text/safe.h"

namespace {

// Whether a command line asks a person line by line.
bool waits(const std::vector<std::string>& args) {
  return (!args.empty() && args[0] == "guide") ||
         (args.size() > 1 && args[0] == "exercise" && args[1] == "work");
}

// What the answer is set for: the terminal it goes to, if it goes to one. Longer lines than these are hard to read.
std::size_t columns() {
  constexpr std::size_t kUsual = 80, kLeast = 40, kMost = 100;
  if (!isatty(STDOUT_FILENO)) return kUsual;
  std::size_t columns = 0;
  if (const char* told = std::getenv("COLUMNS")) columns = std::strtoul(told, nullptr, 10);
  winsize size{};
  if (columns == 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0) columns = size.ws_col;
  return columns == 0 ? kUsual : std::clamp(columns, kLeast, kMost);
}

}  // namespace

int main(int count, char** arguments) {
  // Whoever reads us may stop reading, as `head` does: that is no failure of ours.
  std::signal(SIGPIPE, SIG_IGN);
  const std::vector<std::string> args(arguments + (count > 0 ? 1 : 0), arguments + count);
  lugwise::app::limit_memory();
  const bool watched = isatty(STDERR_FILENO) == 1;
  std::optional<lugwise::app::Allowance> allowance;
  allowance.emplace(std::cerr, watched, waits(args));
  std::ostringstream out;
  const int code = lugwise::app::run(args, out, std::cerr, columns(), watched, &*allowance);
  allowance.reset();
  const std::string result = lugwise::text::in_lines(out.str());
  errno = 0;
  const bool written =
      std::fwrite(result.data(), 1, result.size(), stdout) == result.size() && std::fflush(stdout) == 0;
  if (!written && errno != EPIPE) {
    std::cerr << "lugwise: the output could not be written\n";
    return static_cast<int>(lugwise::app::ExitCode::OurFailure);
  }
  return code;
}
