// What fits on a sheet of paper.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lugwise::report {
inline namespace inside {

// A line is one of the tables' as they are printed, 3.45 mm; so many are on a Letter page inside its margins. What each
// thing takes was measured on paper, with characters to a line as few as a usual text has.
inline constexpr double kSheet = 78;
inline constexpr double kTitle = 2, kJob = 3.2, kFoot = 2, kSignature = 3.5;
inline constexpr double kHeading = 2.3, kField = 2.9, kVerdict = 2.8, kTableHead = 1.6, kRow = 0.3;
inline constexpr double kPicture = 17;     // 55 mm and its caption
inline constexpr double kForRepairs = 18;  // the most that what was done and the re-check may take

// The beginning of a text, of so many characters at most, with "…" where something was left out.
std::string cut(std::string_view text, std::size_t most);

// How many lines a text takes where so many characters go into one; as a paragraph, as an item of a list.
double lines_of(std::string_view text, double characters);
double paragraph(std::string_view text);
double item(std::string_view text);

// The lines of one sheet that are still free.
class Paper {
 public:
  explicit Paper(double lines) : left_(lines) {}

  void uses(double lines) { left_ -= lines; }

  // Takes so many lines if they are there.
  bool takes(double lines) {
    if (lines > left_) return false;
    left_ -= lines;
    return true;
  }

  double left() const { return left_; }

 private:
  double left_;
};

}  // namespace inside
}  // namespace lugwise::report
