// What is lost where a fault is shown only after a further opening? Private to this room.
#pragma once

#include <bit>
#include <cstdint>
#include <vector>

#include "plan/inside/stops.h"

namespace lugwise::plan::inside {

using Order = std::vector<std::size_t>;  // stops by their number

// A fault that a lesser opening could have shown, and that is shown only after the next, has cost that opening where the
// instrument has it. In seconds, by how common faults are.
class Delays {
 public:
  Delays(const Stops& stops, const Costs& costs, const std::vector<Survey>& surveys,
         const std::vector<Fault>& faults, const FaultSet& wanted);

  // What an order costs so; the same with the stop at one of its places left out.
  double of(const Order& order) const { return without(order, order.size()); }
  double without(const Order& order, std::size_t place) const;

  // By opening: what the order shows before the next.
  std::vector<FaultSet> shown_early(const Order& order) const;

  // What a stop more would save of it.
  double avoided(const Stop& stop, const std::vector<FaultSet>& early) const {
    const std::size_t s = stop.choice.survey;
    if (s >= early.size()) return 0;
    double sum = 0;
    for (std::size_t w = 0; w < delayed_[s].words().size(); ++w) {
      for (std::uint64_t word = stop.set[w] & delayed_[s].words()[w] & ~early[s].words()[w]; word != 0;
           word &= word - 1)
        sum += delay_[s][w * 64 + static_cast<std::size_t>(std::countr_zero(word))];
    }
    return sum;
  }

 private:
  const Stops& stops_;
  std::size_t faults_;                      // as many as a set has room for
  std::vector<FaultSet> delayed_;           // by survey: what it and those before it can show
  std::vector<std::vector<double>> delay_;  // by survey, by fault: the seconds lost if it is shown only later
};

}  // namespace lugwise::plan::inside
