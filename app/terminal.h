// Where a session is typed and read: the terminal, or the pipes that stand in for it. No cursor is moved, so that a
// printer or a screen reader follows as well.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace lugwise::app {

class Terminal {
 public:
  Terminal();

  bool coloured() const { return coloured_; }       // a terminal, and nobody set NO_COLOR
  std::size_t columns() const { return columns_; }  // 80, or fewer where it is narrower

  // Shows it at once. False where nobody reads any more.
  bool show(std::string_view text);

  // Shows the prompt and waits for a line; nothing at the end of the input. Of a line without end only the beginning is
  // kept. What does not come from a keyboard is shown as if it had been typed, unless `silent`.
  std::optional<std::string> ask(std::string_view prompt, bool silent = false);

 private:
  bool coloured_ = false;
  bool keyboard_ = false;
  std::size_t columns_ = 80;
  std::string ahead_;  // read, and not yet asked for
  bool ended_ = false;
};

}  // namespace lugwise::app
