// Trials: a real harness out of all that a netlist allows, with something hidden in it, taken through a plan with a real
// meter in a room of unknown temperature. What it reads is solved from its resistors, by nothing the diagnosis uses.
#pragma once

#include <random>
#include <utility>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "plan/plan.h"

namespace lugwise::test {

// A fault and how much of it: ohms of a High, factor of a Value.
struct Hidden {
  Fault fault;
  double size = 0;
};

struct Trial {
  std::vector<Hidden> hidden;
  std::vector<Observation> readings;
  bool visible = false;  // some reading lies outside its step's window, or jumps
};

class Trials {
 public:
  Trials(const Harness& harness, const PlanOptions& options);

  const Plan& plan() const { return plan_; }

  // A harness with these faults: part values drawn evenly within their limits, the coils between 10 and 35 degrees C
  // (or as known), the meter's gain, leads and digits within what it promises.
  Trial take(std::vector<Hidden> hidden, std::mt19937& random) const;

  // A fault that the plan claims to show, drawn by its weight; a High with a size from what the plan would notice to a
  // megohm, evenly by decades; wrong values from a tenth to ten times.
  Hidden draw_fault(std::mt19937& random) const;

  // One reading in so many, on the average, replaced by a wrong one: anything from 0.1 ohms to 20 megohms, or OL.
  void spoil(Trial& trial, double share, std::mt19937& random) const;

 private:
  const Harness& harness_;
  Plan plan_;
  std::vector<Fault> drawn_;
  std::vector<double> weights_;
  std::vector<double> least_;      // of each drawn High
  std::vector<Circuit> circuits_;  // of each step that is read or swept
  std::vector<const Step*> steps_;
};

}  // namespace lugwise::test
