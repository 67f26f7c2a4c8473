#include <cerrno>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "cli.h"
#include "exit_code.h"

int main(int count, char** arguments) {
  // Whoever reads us may stop reading, as `head` does: that is no failure of ours.
  std::signal(SIGPIPE, SIG_IGN);
  const std::vector<std::string> args(arguments + (count > 0 ? 1 : 0), arguments + count);
  std::ostringstream out;
  const int code = lugwise::app::run(args, out, std::cerr);
  const std::string result = out.str();
  errno = 0;
  const bool written =
      std::fwrite(result.data(), 1, result.size(), stdout) == result.size() && std::fflush(stdout) == 0;
  if (!written && errno != EPIPE) {
    std::cerr << "lugwise: the output could not be written\n";
    return static_cast<int>(lugwise::app::ExitCode::OurFailure);
  }
  return code;
}
