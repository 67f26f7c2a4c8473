// Which explanations one probe tells apart on this meter, and how much that says. Private to this room.
#pragma once

#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

#include "diagnosis/inside/standing.h"
#include "meter/meter.h"

namespace lugwise::diagnosis::inside {

inline constexpr double kOpen = std::numeric_limits<double>::infinity();

// In bits.
double entropy(const std::vector<double>& shares);

// It keeps its scratch from call to call. The meter must outlive it.
class OutcomeReader {
 public:
  explicit OutcomeReader(const Meter& meter) : meter_(meter) {}

  // Outcomes told apart on one range, or, without one, on whichever holds each: numbered by rising ohms. `ohms` and
  // `deviation` are of each explanation.
  void split(const std::vector<double>& ohms, const std::vector<double>& deviation, const Range* on,
             std::vector<std::uint8_t>& outcomes);

  // How much the outcome says about the place of the fault: its entropy, less what it keeps when the place is known.
  // Open or high, a joint is one place.
  double information(const std::vector<std::uint8_t>& outcomes, const std::vector<Standing>& standing);

 private:
  std::pair<double, double> look(double ohms, double deviation, const Range* on) const;

  const Meter& meter_;
  std::vector<std::size_t> order_;
  std::vector<std::pair<double, double>> shown_;
  std::vector<double> of_lump_, of_place_, of_both_;
};

}  // namespace lugwise::diagnosis::inside
