// Which of a few like readings should be looked at again: how far each lies from the others, and whether they drift.
//
// For readings that are as good as normal: of a hundred such series of good units, one has a unit that is called far off.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace lugwise {

// The middle one, or the mean of the two in the middle. `values` must not be empty.
double median(std::vector<double> values);

// Modified z: 0.6745 |x - median| / MAD, each in its place (Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993).
// `digit` is one of the display's last digit: readings can't lie closer together than half of one, so the MAD is never taken
// for less, and is no zero where most of them show the same.
std::vector<double> modified_z(const std::vector<double>& values, double digit);

// From which modified z on one of n is far off: the 99 % point of the largest of n normal readings, by simulation. The usual
// 3.5 is passed in one of eight batches of ten good units. None below five readings, which can't say.
std::optional<double> far_off(std::size_t n);

// Individuals and moving range in the order they were taken (constants for ranges of two: 3 / 1.128 and D4 of the usual
// control chart tables).
inline constexpr double kIndividuals = 2.66;
inline constexpr double kMovingRange = 3.267;
struct Drift {
  double mean = 0, range = 0;     // the mean, and the mean of the moving ranges
  double low = 0, high = 0;       // limits of a reading
  double most = 0;                // and of a moving range
  std::vector<std::size_t> jump;  // readings whose distance from the one before is above `most`
  std::vector<std::size_t> outside;
};
std::optional<Drift> drift(const std::vector<double>& values, double digit);  // none below five readings

// The share of series of n good units in which some reading is outside or a jump by those limits, by simulation; of more than two
// hundred that of two hundred, which is the least.
double false_alarms(std::size_t n);

// From so many readings on one that is off is outside wherever it stands. Of fewer it widens its own limits too much, unless it is
// the first or the last: of n alike and one that is off by 1, the mean is 1 / n and the mean moving range 2 / (n - 1), so that it
// is outside where 1 > 1 / n + 2.66 * 2 / (n - 1), a jump where 1 > 3.267 * 2 / (n - 1).
inline constexpr std::size_t kShowsOne = 8;

}  // namespace lugwise
