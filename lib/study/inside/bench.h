// What all cases of a study share: the plan, the faults that are drawn from, and the diagnosis. Private to this room.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "fault/fault.h"
#include "harness/harness.h"
#include "plan/plan.h"
#include "simulation/dice.h"
#include "simulation/specimen.h"
#include "study/inside/lone_fault.h"
#include "study/inside/visibility.h"
#include "study/study.h"

namespace lugwise::study::inside {

class Bench {
 public:
  // The harness must outlive it.
  Bench(const Harness& harness, const StudyOptions& options, std::shared_ptr<const Plan> plan);
  // Shares the plan.
  Bench(const Bench& other) : Bench(other.harness_, other.options_, other.shared_) {}
  Bench& operator=(const Bench&) = delete;

  // To be called before each case: what is kept from one to the next is forgotten from time to time.
  void begin();

  // What is wrong with one instrument.
  std::vector<Ailment> draw_ills(Dice& dice) const;

  Diagnosis diagnose(const std::vector<Observation>& taken) { return diagnoser_->diagnose(taken); }
  Visibility& visibility() { return visibility_; }
  // A fault of the list that by itself may have shown all of a whole sheet.
  std::optional<Fault> lone_fault(const std::vector<Observation>& sheet);
  Workbench& wired() { return wired_; }

  const Harness& harness() const { return harness_; }
  const StudyOptions& options() const { return options_; }
  const Plan& plan() const { return *shared_; }
  const std::vector<const Step*>& steps() const { return steps_; }
  const Fault& fault(const Ailment& of) const { return faults_[of.fault]; }

 private:
  bool wanted(const Fault& fault) const;
  Ailment draw_one(Dice& dice) const;

  const Harness& harness_;
  const StudyOptions options_;
  const std::shared_ptr<const Plan> shared_;  // with the same study on other threads
  std::vector<Fault> faults_;
  Workbench wired_;
  std::vector<const Step*> steps_;  // those that take a reading in ohms, or sweep
  Visibility visibility_;
  LoneFault lone_;
  DiagnosisOptions told_;  // what the diagnosis is told: nothing of the temperature
  std::optional<Diagnoser> diagnoser_;
  std::size_t ran_ = 0;
  std::vector<std::size_t> drawn_from_;
};

}  // namespace lugwise::study::inside
