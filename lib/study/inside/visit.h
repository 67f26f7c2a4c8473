// One instrument from the first touch to the answer. Private to this room.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "handling/handling.h"
#include "sheet/observation.h"
#include "simulation/dice.h"
#include "simulation/meter_in_use.h"
#include "simulation/specimen.h"
#include "study/inside/bench.h"
#include "study/inside/rivals.h"
#include "study/study.h"

namespace lugwise::study::inside {

class Visit {
 public:
  // The bench must outlive it.
  Visit(Bench& bench, std::size_t number);

  // Once.
  Study::Followed follow();

 private:
  bool take_step();
  bool agrees(const Step& step, const Observation& seen) const;
  void spend(const Observation& seen, double extra = 0);
  bool jumps_on(const Step& step);
  template <class Shown>
  bool jumps_at(const Range& range, const Shown& shown);
  void read(Observation& seen, const Range& range);
  void slip(const Workbench::Place& place, const Observation& seen, std::optional<Ohms>& ohms, double& scale);
  void diagnose();
  bool locate();
  std::optional<std::size_t> to_take_again() const;
  void take_again(std::size_t i);
  void sweep(Observation& seen);
  void take(const NextProbe& probe);
  void move(const NextProbe& probe, Observation& seen);

  Bench& bench_;
  const StudyOptions& options_;
  const Harness& harness_;
  Dice dice_;
  std::vector<Ailment> ailments_;
  Specimen specimen_;
  MeterInUse meter_;
  Hands hands_;
  std::vector<Observation> observations_;
  std::size_t next_step_ = 0;
  WrongStep first_wrong_;
  double seconds_ = 0;
  double seconds_before_ = 0;  // the first wrong reading
  std::size_t readings_before_ = 0;
  std::optional<Diagnosis> diagnosis_;
  Case case_;
};

}  // namespace lugwise::study::inside
