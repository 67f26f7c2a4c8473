// What is wrong with an exercise's instrument, and what its player says of it.
#pragma once

#include <cstddef>
#include <vector>

#include "exercise/exercise.h"
#include "hearing/listener.h"
#include "simulation/dice.h"

namespace lugwise::exercise::inside {

class Draw {
 public:
  // The harness and its weighed faults must outlive it.
  Draw(const Harness& harness, const std::vector<Fault>& faults, const ExerciseOptions& options);

  // Whether there is anything to draw from.
  bool possible() const { return !drawn_from_.empty(); }

  // Puts ailments and complaints into the exercise. False: what the dice gave is none of the level's.
  bool fill(Exercise& exercise, Dice& dice);

 private:
  bool offered(const Fault& fault) const;
  std::size_t draw_fault(Dice& dice) const;
  bool add_second(Exercise& exercise, Dice& dice) const;
  bool heard_everywhere(const Complaint& complaint) const;
  void hear(Exercise& exercise, const Ailment& ailment);

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  int level_;
  Listener listener_;
  std::vector<std::size_t> drawn_from_;
};

}  // namespace lugwise::exercise::inside
