// How a good technician goes about an exercise: the readings that are asked for, and the way to the answer.
#pragma once

#include <cstddef>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "exercise/exercise.h"
#include "simulation/simulation.h"

namespace lugwise::exercise::inside {

// Readings that are asked for before an exercise is given up as one that can't be settled.
inline constexpr std::size_t kMostReadings = 18;

class Technician {
 public:
  // The harness and its faults must outlive it.
  Technician(const Harness& harness, const std::vector<Fault>& faults, const DiagnosisOptions& options);

  // With what to ask for next.
  Diagnosis diagnose(const Exercise& exercise, const std::vector<Observation>& seen);
  // Without: many times faster.
  Diagnosis judge(const Exercise& exercise, const std::vector<Observation>& seen);

  // Takes what the next probe asks for until it asks for nothing more, or so many readings stand there.
  void follow(const Exercise& exercise, Simulation& simulation, std::vector<Observation>& seen,
              std::size_t most);

  // Presses what an unstable reading betrays point by point, takes that reading once more, and presses again with the tips on
  // both sides of each joint that may be it.
  void press_alone(Simulation& simulation, std::vector<Observation>& seen) const;

  // Puts the way to the exercise's answer into it: of the readings that the next probe asks for until the answer stands, and
  // those on offer (`all`), without what they can do without, the way that is shortest for the hands. False: none leads there.
  bool find_path(Exercise& exercise, Simulation& simulation, const std::vector<Observation>& all);

 private:
  // One after the other, and for each what it was asked for.
  struct Way {
    std::vector<Observation> seen;
    std::vector<NextProbe> probes;
  };
  // What a diagnosis asks for; null: nothing.
  using Asks = const NextProbe* (*)(const Diagnosis&);

  Observation take(Simulation& simulation, const NextProbe& probe,
                   const std::vector<Observation>& before) const;
  bool leads_there(const Exercise& exercise, const std::vector<Observation>& seen);
  void walk(const Exercise& exercise, Simulation& simulation, std::vector<Asks> asks, Way way,
            std::vector<Way>& ways);
  long whole_seconds(const Way& way) const;
  void thin_out(const Exercise& exercise, Way& way);
  void put_in_order(const Exercise& exercise, Way& way);
  void tell(Exercise& exercise, const Way& way);
  std::size_t places_in_all() const;

  const Harness& harness_;
  const std::vector<Fault>& faults_;
  DiagnosisOptions options_;
  Diagnoser diagnoser_;
};

}  // namespace lugwise::exercise::inside
