// How probable the readings are under one explanation. Private to this room.
#pragma once

#include <vector>

#include "diagnosis/diagnosis.h"
#include "diagnosis/inside/model.h"

namespace lugwise {

struct Likelihood {
  double log = 0;            // of all readings together
  std::vector<double> each;  // of each reading by itself
  std::vector<double> pull;  // of each value: deviations from what the other readings let expect
  double size_shift = 0;     // where the size's unknown came to lie, in deviations of the log
  double size_deviation = 0;
};

class Judge {
 public:
  Judge(const Harness& harness, const Model& model, const std::vector<Observation>& observations,
        const DiagnosisOptions& options);

  // The quick judgement of one sketch: readings by themselves, none sharper than the sketch deserves.
  double glance(const Explanation& explanation) const;

  // The full one; `rounds` Gauss-Newton steps towards the unknowns' likeliest values.
  Likelihood weigh(const Explanation& explanation, int rounds) const;

  // A reading that anything might have caused: what a slip of the hand, or a fault we don't list, is worth.
  double anything(std::size_t observation) const;

 private:
  Likelihood weigh(const Explanation& explanation, int rounds, const std::vector<double>& deviation_of) const;
  double side(const Observation& observation, double ohms, double deviation, bool open) const;
  double log_of_event(std::size_t observation, double ohms, double deviation, bool open) const;
  double evidence_of_motion(std::size_t observation, const Explanation& explanation) const;
  double meter_variance(const Observation& observation, double shown) const;
  std::size_t range_index(const Observation& observation) const;
  std::vector<PartId> pots_swept(const Observation& observation) const;

  const Harness& harness_;
  const Model& model_;
  const std::vector<Observation>& observations_;
  const DiagnosisOptions& options_;
  std::vector<double> cable_;               // ohms of the test cable in each reading
  std::vector<double> deviation_;           // of each sound reading
  std::vector<std::vector<PartId>> swept_;  // of each reading: the pots whose wiper its sweep watches
};

// Which of a reading's forms is a number on the display, and which only a bound on it.
bool is_value(const Observation& observation);
bool is_bound(const Observation& observation);

}  // namespace lugwise
