// Trials: a real harness out of all that a netlist allows, with something hidden in it, taken through a plan with a real
// meter in a room of unknown temperature. What it reads is solved from its resistors, by nothing the diagnosis uses.
#pragma once

#include <optional>
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

  // Just one reading that is a number replaced: half of the slips are OL, a quarter a decade off, a quarter anything. Which
  // one; none where no reading is a number.
  std::optional<std::size_t> slip_once(Trial& trial, std::mt19937& random) const;

 private:
  const Harness& harness_;
  Plan plan_;
  std::vector<Fault> drawn_;
  std::vector<double> weights_;
  std::vector<double> least_;      // of each drawn High
  std::vector<Circuit> circuits_;  // of each step that is read or swept
  std::vector<const Step*> steps_;
};

// Whether nobody would take one reading for another than the other: the same words, or numbers within a quarter.
bool reads_alike(const Observation& x, const Observation& y);
bool read_alike(const std::vector<Observation>& one, const std::vector<Observation>& other);

// Two faults in one harness, with what it would have read with either alone, or with others instead.
struct TwoFaults {
  Hidden one, other;
  std::mt19937::result_type seed = 0;
  Trial both;
  bool each_shows = false;  // the readings are not those of either alone

  static TwoFaults draw(const Trials& trials, std::mt19937& random);

  // Both named, together, in one of the first three groups.
  bool named_in(const Diagnosis& found) const;
  // What leads the answer would make every reading the same, so that nothing that was read tells them apart.
  bool reads_as(const Trials& trials, const Diagnosis& found) const;
};

}  // namespace lugwise::test
