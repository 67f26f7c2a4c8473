// Which explanations one probe tells apart on this meter, and how much that says. Private to this room.
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "diagnosis/inside/standing.h"
#include "meter/meter.h"

namespace lugwise::diagnosis::inside {

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

  // What is known already, as a number by explanation: explanations of other numbers are told apart whatever the outcome. Empty:
  // nothing.
  void know(std::vector<std::uint8_t> given);

  // How much the outcome says about the place of the fault: its entropy, less what it keeps when the place is known.
  // Open or high, a joint is one place.
  double information(const std::vector<std::uint8_t>& outcomes, const std::vector<Standing>& standing);

  // The same of a test with two outcomes, the second of which each explanation shows with some chance.
  double information(const std::vector<double>& chances, const std::vector<Standing>& standing);

 private:
  std::pair<double, double> look(double ohms, double deviation, const Range* on) const;

  void clear(std::size_t lumps, const std::vector<Standing>& standing);
  void add(std::size_t h, std::size_t lump, double share, const Standing& of);
  double told() const;
  std::size_t known(std::size_t h) const { return given_.empty() ? 0 : given_[h]; }

  const Meter& meter_;
  std::vector<std::uint8_t> given_;
  std::size_t kinds_ = 1;  // of what is known
  std::size_t lumps_ = 0, places_ = 0;
  std::vector<std::size_t> order_;
  std::vector<std::pair<double, double>> shown_;
  std::vector<double> of_given_, of_lump_, of_place_, of_both_;
};

}  // namespace lugwise::diagnosis::inside
