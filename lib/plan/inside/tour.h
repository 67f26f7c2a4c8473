// In which order are a few stops the quickest? Private to this room.
#pragma once

#include <cstddef>
#include <vector>

#include "plan/inside/legs.h"

namespace lugwise::plan::inside {

// Held and Karp's table: by set of stops, by the last of them. What is known of the stops that a tour begins with is kept while
// others are put behind them and taken away again.
class Tour {
 public:
  // So many stops at most: the table doubles with each.
  static constexpr std::size_t kMost = 13;

  explicit Tour(const Legs& legs) : legs_(legs) {}

  void clear();
  void push(const Visit& stop) { stops_.push_back(&stop); }
  void pop();
  std::size_t size() const { return stops_.size(); }

  // The least seconds for all of them, from the instrument as it came. There must be a stop.
  double seconds();

  // And the order that takes no more: stops by their place in the tour.
  std::vector<std::size_t> order();

 private:
  void tabulate(std::size_t one);
  std::size_t best_end() const;

  const Legs& legs_;
  std::vector<const Visit*> stops_;
  std::size_t known_ = 0;     // stops that the table has
  std::vector<double> leg_;   // to a stop, from a stop
  std::vector<double> ends_;  // by stops done, by the last of them
};

}  // namespace lugwise::plan::inside
