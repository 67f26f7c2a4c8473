// A screen of a guided session: lines with their labels in one column, and one word in colour.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

#include "report/session.h"

namespace lugwise::report {
inline namespace inside {

// Suspects named after each entry: a screen has 24 lines.
inline constexpr std::size_t kNamedOnScreen = 4;

enum class Shade { Good, Bad, Strong };

class Screen {
 public:
  explicit Screen(const Appearance& appearance) : appearance_(appearance) {}

  void blank() { text_ += '\n'; }
  void line(std::string_view text);
  void row(std::string_view text);  // a line that is short enough as it is, its blanks too
  void labelled(std::string_view label, std::string_view text);
  void shared(double share, std::string_view text);  // a suspect with its share
  // A line that begins with a word in colour, which costs no columns.
  void headed(std::string_view head, Shade shade, std::string_view text);
  std::size_t columns() const { return appearance_.columns; }
  std::string take() { return std::move(text_); }

 private:
  Appearance appearance_;
  std::string text_;
};

// Each suspect with its share, so many at most, and what is left over.
enum class Suspected { All, FirstGroup };
void add_suspects(Screen& screen, const Session& session, std::size_t most, Suspected which);

}  // namespace inside
}  // namespace lugwise::report
