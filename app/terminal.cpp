#include "terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>

#include "text/safe.h"

namespace lugwise::app {
namespace {

constexpr std::size_t kMostColumns = 80;
constexpr std::size_t kLeastColumns = 40;
constexpr std::size_t kLongestLine = 16384;

bool set(const char* name) {
  const char* const value = std::getenv(name);
  return value && *value != '\0';
}

}  // namespace

Terminal::Terminal() {
  keyboard_ = isatty(STDIN_FILENO) == 1;
  const bool screen = isatty(STDOUT_FILENO) == 1;
  const char* const kind = std::getenv("TERM");
  coloured_ = screen && !set("NO_COLOR") && kind && std::string_view(kind) != "dumb";
  winsize size{};
  if (screen && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    columns_ = std::clamp<std::size_t>(size.ws_col, kLeastColumns, kMostColumns);
}

bool Terminal::show(std::string_view words) {
  const std::string clean = text::in_lines(words, text::Colours::Kept);
  std::string_view text = clean;
  while (!text.empty()) {
    const ssize_t count = ::write(STDOUT_FILENO, text.data(), text.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return false;
    text.remove_prefix(static_cast<std::size_t>(count));
  }
  return true;
}

std::optional<std::string> Terminal::ask(std::string_view prompt, bool silent) {
  if (!show(prompt)) return std::nullopt;
  for (;;) {
    const std::size_t end = ahead_.find('\n');
    if (end != std::string::npos || (ended_ && !ahead_.empty())) {
      std::string line = ahead_.substr(0, end);
      ahead_.erase(0, end == std::string::npos ? end : end + 1);
      if (!keyboard_ && !silent) show(line + "\n");
      return line;
    }
    if (ended_) {
      if (!silent) show("\n");
      return std::nullopt;
    }
    char piece[4096];
    const ssize_t count = ::read(STDIN_FILENO, piece, sizeof piece);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) {
      // At a keyboard Ctrl-D ends what was typed without Enter too: that was not an entry.
      if (keyboard_) ahead_.clear();
      ended_ = true;
      continue;
    }
    ahead_.append(piece, static_cast<std::size_t>(count));
    if (ahead_.size() > kLongestLine && ahead_.find('\n') == std::string::npos) ahead_.resize(kLongestLine);
  }
}

}  // namespace lugwise::app
